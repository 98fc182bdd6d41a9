using System.Runtime.CompilerServices;
using System.Text.Json;

namespace SyncBench.Tests.Signal;

/// <summary>
/// What SciPy computed, from fixtures/signal: each file names the function and the version under "source", and
/// make.py beside it makes them all anew.
/// </summary>
internal sealed class SciPyFixture(JsonElement root)
{
    public static SciPyFixture Open(string name)
    {
        using JsonDocument document = JsonDocument.Parse(File.ReadAllText(Path.Combine(Folder(), name)));
        return new SciPyFixture(document.RootElement.Clone());
    }

    public SciPyFixture Part(string name) => new(root.GetProperty(name));

    public double Number(string name) => root.GetProperty(name).GetDouble();

    public double[] Numbers(string name) =>
        [.. root.GetProperty(name).EnumerateArray().Select(x => x.GetDouble())];

    private static string Folder([CallerFilePath] string thisFile = "") =>
        Path.Combine(Path.GetDirectoryName(thisFile)!, "..", "..", "..", "fixtures", "signal");
}
