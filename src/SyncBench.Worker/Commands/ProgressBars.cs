using System.Globalization;
using Spectre.Console;
using SyncBench.Pipeline;

namespace SyncBench.Worker.Commands;

/// <summary>A bar for each stage that takes time, with the file it is busy with and the time left.</summary>
internal static class ProgressBars
{
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
            new TaskDescriptionColumn { Alignment = Justify.Left }, new ProgressBarColumn(), new PercentageColumn(),
            new RemainingTimeColumn())
        .StartAsync(async context =>
        {
            var bars = Shown.ToDictionary(
                shown => shown.Stage,
                shown => (shown.Words, Task: context.AddTask(Label(shown.Words, string.Empty), autoStart: false, maxValue: 1)));
            return await work(new Bars(bars));
        });

    /// <summary>"12.3 of 64.0 GB, 183 MB/s".</summary>
    private static string Rate(StageProgress value, ProgressTask task) => string.Create(
        CultureInfo.InvariantCulture,
        $"{value.BytesDone / 1e9:0.0} of {value.BytesAll / 1e9:0.0} GB, {value.BytesDone / 1e6 / Math.Max(1e-3, task.ElapsedTime?.TotalSeconds ?? 0):0} MB/s");

    private static string Label(string words, string item)
    {
        string shortened = item.Length > ItemWidth ? $"…{item[^(ItemWidth - 1)..]}" : item.PadRight(ItemWidth);
        return $"{words,-17} {Markup.Escape(shortened.ReplaceLineEndings(" "))}";
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
                bar.Task.StartTask();
                bar.Task.Value = Math.Max(bar.Task.Value, value.Share);
                bar.Task.Description = Label(bar.Words, value.Share >= 1 ? string.Empty : value.BytesAll > 0 ? Rate(value, bar.Task) : value.Item);
                foreach ((Stage stage, (string words, ProgressTask task)) in bars.Where(b => b.Key < value.Stage && value.Stage != Stage.Checksums))
                {
                    task.StartTask();
                    task.Value = 1;
                    task.Description = Label(words, string.Empty);
                }
            }
        }
    }
}
