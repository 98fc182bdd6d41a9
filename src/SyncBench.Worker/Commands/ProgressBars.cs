using Spectre.Console;
using Spectre.Console.Rendering;
using SyncBench.Pipeline;

namespace SyncBench.Worker.Commands;

/// <summary>A bar for each stage that takes time, with the file it is busy with and the time left.</summary>
internal static class ProgressBars
{
    private const int StageWidth = 17;
    private const int ItemWidth = 28;

    private static readonly (Stage Stage, string Words)[] Shown =
    [
        (Stage.Probe, "Looking at files"),
        (Stage.ReadSound, "Reading sound"),
        (Stage.Align, "Aligning clips"),
        (Stage.ChooseMics, "Choosing mics"),
        (Stage.RenderDialogue, "Rendering sound"),
        (Stage.Write, "Writing results"),
        (Stage.Checksums, "Checksums"),
    ];

    internal static Task<T> ShowAsync<T>(Func<IProgress<StageProgress>, Task<T>> work) => AnsiConsole.Progress()
        .Columns(
            new StageColumn(), new ProgressBarColumn(), new PercentageColumn(), new RemainingTimeColumn())
        .StartAsync(async context =>
        {
            var bars = Shown.ToDictionary(
                shown => shown.Stage,
                shown => (shown.Words, Task: context.AddTask(Label(shown.Words, string.Empty), autoStart: false, maxValue: 1)));
            return await work(new Bars(bars));
        });

    /// <summary>A second start would set the elapsed time back to nothing.</summary>
    private static void Begin(ProgressTask task)
    {
        if (!task.IsStarted)
        {
            task.StartTask();
        }
    }

    private static string Label(string words, string item)
    {
        string shortened = item.Length > ItemWidth ? $"…{item[^(ItemWidth - 1)..]}" : item;
        return $"{words.PadRight(StageWidth)} {Markup.Escape(shortened.ReplaceLineEndings(" "))}";
    }

    /// <summary>As wide as its longest label from the start: else the bars would jump with every file's name.</summary>
    private sealed class StageColumn : ProgressColumn
    {
        protected override bool NoWrap => true;

        public override IRenderable Render(RenderOptions options, ProgressTask task, TimeSpan deltaTime) => new Markup(task.Description);

        public override int? GetColumnWidth(RenderOptions options) => StageWidth + 1 + ItemWidth;
    }

    private sealed class Bars(Dictionary<Stage, (string Words, ProgressTask Task)> bars) : IProgress<StageProgress>
    {
        public void Report(StageProgress value)
        {
            if (!bars.TryGetValue(value.Stage, out (string Words, ProgressTask Task) bar))
            {
                return;
            }

            lock (bars)
            {
                Begin(bar.Task);
                bar.Task.Value = Math.Max(bar.Task.Value, value.Share);
                bar.Task.Description = Label(bar.Words, value.Share >= 1 ? string.Empty : value.BytesAll > 0 ? BytesRead.InWords(value.BytesDone, value.BytesAll, bar.Task.ElapsedTime ?? TimeSpan.Zero) : value.Item);
                foreach ((Stage stage, (string words, ProgressTask task)) in bars.Where(b => b.Key < value.Stage && value.Stage != Stage.Checksums))
                {
                    Begin(task);
                    task.Value = 1;
                    task.Description = Label(words, string.Empty);
                }
            }
        }
    }
}
