namespace SyncBench.Service.Jobs;

/// <summary>Where runs keep what they need for a while. What a killed service left there is deleted at the next start.</summary>
internal sealed class ScratchFolder
{
    private ScratchFolder(string fullPath) => FullPath = fullPath;

    internal string FullPath { get; }

    /// <summary>Empties the folder and makes it the process's place for temporary files.</summary>
    internal static ScratchFolder Open(string stateFolder)
    {
        string path = Path.Combine(stateFolder, "scratch");
        if (Directory.Exists(path))
        {
            Directory.Delete(path, recursive: true);
        }

        Directory.CreateDirectory(path);
        Environment.SetEnvironmentVariable("TMPDIR", path);
        return new ScratchFolder(path);
    }
}
