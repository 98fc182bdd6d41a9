namespace SyncBench.Service.Settings;

/// <summary>A folder whose subfolders are dumps.</summary>
/// <param name="Folder">Only read.</param>
/// <param name="Out">Results of each dump go to a folder of its name in here.</param>
/// <param name="Settings">A settings file as for <c>syncbench run --settings</c>; null for the usual ones.</param>
/// <param name="QuietS">Seconds for which nothing may change before a dump is taken.</param>
internal sealed record WatchedFolder(string Folder, string Out, string? Settings = null, double QuietS = WatchedFolder.UsualQuietS)
{
    internal const double UsualQuietS = 60;

    internal string OutputOf(string dumpFolder) => Path.Combine(Out, Path.GetFileName(dumpFolder));
}
