using System.Runtime.CompilerServices;

namespace SyncBench.Tests.Support;

/// <summary>Files of the repository that tests read: fixtures, documentation, scripts.</summary>
internal static class Repository
{
    internal static string Root { get; } = Path.GetFullPath(Path.Combine(Path.GetDirectoryName(Here())!, "..", "..", ".."));

    /// <param name="name">Relative, with '/' between its parts: "docs/sync.schema.json".</param>
    internal static string File(string name) => Path.Combine(Root, name);

    private static string Here([CallerFilePath] string thisFile = "") => thisFile;
}
