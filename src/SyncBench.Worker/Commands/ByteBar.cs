using Spectre.Console;
using SyncBench.Intake.Integrity;

namespace SyncBench.Worker.Commands;

/// <summary>A bar in bytes, with speed and time left.</summary>
internal static class ByteBar
{
    internal static Task<T> ShowAsync<T>(Func<IProgress<HashProgress>, Task<T>> work) => AnsiConsole.Progress()
        .Columns(
            new TaskDescriptionColumn { Alignment = Justify.Left }, new ProgressBarColumn(), new DownloadedColumn(),
            new TransferSpeedColumn(), new RemainingTimeColumn())
        .StartAsync(async context => await work(new Bar(context.AddTask("Reading files"))));

    private sealed class Bar(ProgressTask task) : IProgress<HashProgress>
    {
        public void Report(HashProgress value)
        {
            lock (task)
            {
                task.MaxValue = value.BytesAll;
                task.Value = Math.Max(task.Value, value.BytesDone);
            }
        }
    }
}
