using System.Text.Json;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Signal;

/// <summary>
/// What SciPy computed, from fixtures/signal: each file names the function and the version under "source", and
/// make.py beside it makes them all anew.
/// </summary>
internal sealed class SciPyFixture(JsonElement root)
{
    public static SciPyFixture Open(string name)
    {
        using JsonDocument document = JsonDocument.Parse(File.ReadAllText(Repository.File($"fixtures/signal/{name}")));
        return new SciPyFixture(document.RootElement.Clone());
    }

    public SciPyFixture Part(string name) => new(root.GetProperty(name));

    public double Number(string name) => root.GetProperty(name).GetDouble();

    public double[] Numbers(string name) =>
        [.. root.GetProperty(name).EnumerateArray().Select(x => x.GetDouble())];
}
