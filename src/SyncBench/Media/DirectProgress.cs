namespace SyncBench.Media;

/// <summary>Reports on the calling thread: the framework's own queues, and its reports arrive out of order and late.</summary>
internal sealed class DirectProgress<T>(Action<T> report) : IProgress<T>
{
    public void Report(T value) => report(value);
}
