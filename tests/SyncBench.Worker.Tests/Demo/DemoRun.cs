using System.Security.Cryptography;
using System.Text;
using CsvHelper;
using SyncBench.Scenes;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests.Demo;

/// <summary>
/// What <c>scripts/demo</c> makes, once for all tests that look at it: in a cache of its own, so that neither the results of a
/// person's own demo nor those of another run of the tests are touched. The dump is rendered once a machine, into the person's cache.
/// </summary>
public sealed class DemoRun : IAsyncLifetime
{
    private static readonly string OwnersFolder = Path.Combine(
        Environment.GetEnvironmentVariable("XDG_CACHE_HOME") is { Length: > 0 } cache
            ? cache
            : Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".cache"),
        "syncbench-demo");

    /// <summary>What the scripts take for the user's cache.</summary>
    internal string Cache { get; } = Directory.CreateTempSubdirectory("syncbench-demo-").FullName;

    internal Truth Truth { get; private set; } = null!;

    internal string DumpFolder { get; private set; } = string.Empty;

    internal Answer Answer { get; private set; } = null!;

    /// <summary>Of the dump before the program saw it.</summary>
    internal string Before { get; private set; } = string.Empty;

    /// <summary>Rows of <c>clips.csv</c> by file.</summary>
    internal IReadOnlyDictionary<string, IReadOnlyDictionary<string, string>> Clips { get; private set; } = null!;

    internal string Output(string name) => Path.Combine(Folder, "results", name);

    internal IReadOnlyList<IReadOnlyDictionary<string, string>> Csv(string name)
    {
        using CsvReader reader = CsvReader.FromFile(Output(name));
        return [.. reader.GetRecords<CsvDynamicRecord>().Select(row => row.ToDictionary(cell => cell.Key, cell => cell.Value ?? string.Empty))];
    }

    private string Folder => Path.Combine(Cache, "syncbench-demo");

    public async Task InitializeAsync()
    {
        (string dump, Truth) = await DemoDump.MakeAsync(OwnersFolder);
        Directory.CreateDirectory(Folder);
        await Tool.RunAsync("cp", ["-a", dump, .. Directory.GetFiles(OwnersFolder, DemoDump.Name + ".*"), Folder]);
        DumpFolder = Path.Combine(Folder, DemoDump.Name);
        Before = await FingerprintAsync();
        Answer = await Script.RunAsync("demo", Cache);
        Clips = Csv("clips.csv").ToDictionary(row => row["file"]);
    }

    /// <summary>Of every file of the dump: its name, its time and its content.</summary>
    internal async Task<string> FingerprintAsync()
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        foreach (string path in Directory.EnumerateFiles(DumpFolder, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal))
        {
            hash.AppendData(Encoding.UTF8.GetBytes($"{path} {File.GetLastWriteTimeUtc(path):O}"));
            hash.AppendData(await SHA256.HashDataAsync(File.OpenRead(path)));
        }

        return Convert.ToHexString(hash.GetHashAndReset());
    }

    public Task DisposeAsync()
    {
        Directory.Delete(Cache, recursive: true);
        return Task.CompletedTask;
    }
}

[CollectionDefinition(nameof(DemoRun))]
public sealed class DemoRunGroup : ICollectionFixture<DemoRun>;
