using CsvHelper;
using SyncBench.Scenes;

namespace SyncBench.Worker.Tests.Demo;

/// <summary>The demo dump and one run of the program on it, shared by all tests that look at the results.</summary>
public sealed class DemoRun : IAsyncLifetime
{
    /// <summary>The folder of scripts/demo, so that neither makes the dump twice.</summary>
    private static readonly string Folder = Path.Combine(
        Environment.GetEnvironmentVariable("XDG_CACHE_HOME") is { Length: > 0 } cache
            ? cache
            : Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".cache"),
        "syncbench-demo");

    private readonly string _output = Directory.CreateTempSubdirectory("syncbench-demo-").FullName;

    internal Truth Truth { get; private set; } = null!;

    internal string DumpFolder { get; private set; } = string.Empty;

    internal Answer Answer { get; private set; } = null!;

    /// <summary>Rows of <c>clips.csv</c> by file.</summary>
    internal IReadOnlyDictionary<string, IReadOnlyDictionary<string, string>> Clips { get; private set; } = null!;

    internal string Output(string name) => Path.Combine(_output, name);

    internal IReadOnlyList<IReadOnlyDictionary<string, string>> Csv(string name)
    {
        using CsvReader reader = CsvReader.FromFile(Output(name));
        return [.. reader.GetRecords<CsvDynamicRecord>().Select(row => row.ToDictionary(cell => cell.Key, cell => cell.Value ?? string.Empty))];
    }

    public async Task InitializeAsync()
    {
        (DumpFolder, Truth) = await DemoDump.MakeAsync(Folder);
        string settings = Path.Combine(Folder, DemoDump.Name + ".settings.json");
        Answer = await SyncBenchProgram.RunAsync("run", DumpFolder, "--out", _output, "--settings", settings);
        Clips = Csv("clips.csv").ToDictionary(row => row["file"]);
    }

    public Task DisposeAsync()
    {
        Directory.Delete(_output, recursive: true);
        return Task.CompletedTask;
    }
}

[CollectionDefinition(nameof(DemoRun))]
public sealed class DemoRunGroup : ICollectionFixture<DemoRun>;
