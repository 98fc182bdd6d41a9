using System.Runtime.CompilerServices;

namespace SyncBench.Tests.Support;

/// <summary>Files under fixtures/ at the top of the repository.</summary>
internal static class Fixture
{
    public static string Path(string folder, string name) => System.IO.Path.Combine(Root(), folder, name);

    private static string Root([CallerFilePath] string thisFile = "") =>
        System.IO.Path.Combine(System.IO.Path.GetDirectoryName(thisFile)!, "..", "..", "..", "fixtures");
}
