using SyncBench.Media;

namespace SyncBench.Tests.Support;

/// <summary>A folder that is gone after the test.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    internal string Path { get; } = Directory.CreateTempSubdirectory("syncbench-test-").FullName;

    internal string File(string name) => System.IO.Path.Combine(Path, name);

    /// <summary>The file as a dump's listing would name it.</summary>
    internal MediaFile Listed(string name) => new(name, File(name), new FileInfo(File(name)).Length);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
