using System.Globalization;
using System.Net;
using System.Security.Cryptography;
using System.Text;
using Microsoft.Data.Sqlite;
using SyncBench.Tests.Support;

namespace SyncBench.Service.Tests;

public sealed class WatchTests : IDisposable
{
    private readonly ServiceProcess _service = new();

    public void Dispose() => _service.Dispose();

    [Fact]
    public async Task ADumpThatArrives_IsRun_AndAgainWhenItGrows_WithItsCorrections()
    {
        await _service.StartAsync();
        await SmallDump.DropAsync(_service.Drop, "ropewalk-day2");
        await _service.UntilAsync("ropewalk-day2", "done");

        string[] first = await File.ReadAllLinesAsync(Result("clips.csv"));
        string report = await _service.Page.GetStringAsync(await _service.AddressOfAsync("ropewalk-day2") + "/results/report/index.html");
        Assert.Equal(HttpStatusCode.SeeOther, await _service.PressAsync(
            await _service.AddressOfAsync("ropewalk-day2"), "correct", ("kind", "role"), ("file", "CAM_A/A001.WAV"), ("mic", "boom")));
        await SmallDump.AddCameraAsync(Path.Combine(_service.Drop, "ropewalk-day2"), "CAM_B", lateS: 3);
        Assert.True(SpinWait.SpinUntil(() => _service.Begun("ropewalk-day2") == 2, TimeSpan.FromMinutes(1)));
        await _service.UntilAsync("ropewalk-day2", "done");

        string[] second = await File.ReadAllLinesAsync(Result("clips.csv"));
        Assert.Contains("ropewalk-day2", report, StringComparison.Ordinal);
        Assert.Equal((3, 4), (first.Length, second.Length));
        Assert.DoesNotContain(first, line => line.StartsWith("CAM_A/A001.WAV,CAM_A,boom,", StringComparison.Ordinal));
        Assert.Contains(second, line => line.StartsWith("CAM_A/A001.WAV,CAM_A,boom,", StringComparison.Ordinal));

        // Lines of the text format (prometheus.io, "Exposition formats", version 0.0.4), without their time.
        string[] metrics = (await _service.Page.GetStringAsync("/metrics")).Split('\n');
        Assert.Equal(1, Metric(metrics, "syncbench_dumps", "state=\"done\""));
        Assert.Equal(0, Metric(metrics, "syncbench_dumps", "state=\"failed\""));
        Assert.Equal(2, Metric(metrics, "syncbench_runs_total", "state=\"done\""));
        foreach (string stage in new[] { "probe", "read_sound", "align", "render_dialogue", "write" })
        {
            Assert.Equal(2, Metric(metrics, "syncbench_stage_duration_seconds_count", $"stage=\"{stage}\""));
            Assert.InRange(Metric(metrics, "syncbench_stage_duration_seconds_sum", $"stage=\"{stage}\""), 0, 120);
        }

        Assert.DoesNotContain(metrics, line => line.Contains("checksums", StringComparison.Ordinal));
    }

    /// <summary>
    /// It dies while it reads, and again when all but writing is done: there it is held up, as by a full disk. No stage is done twice,
    /// and what was kept for that is deleted some day.
    /// </summary>
    [Fact]
    public async Task AServiceKilledInMidRun_GoesOnWhereItDied_WithTheSameResults()
    {
        Directory.CreateDirectory(Path.Combine(_service.Results, HeldTools.Dump));
        string heldUp = Path.Combine(_service.Results, HeldTools.Dump, "report");
        await File.WriteAllTextAsync(heldUp, "where the report's folder is to be");
        await SmallDump.DropAsync(_service.Drop, "undisturbed", "FLAC");
        await SmallDump.DropAsync(_service.Drop, HeldTools.Dump, "FLAC"); // both come while the service is down
        await _service.StartAsync();
        await _service.UntilAsync(HeldTools.Dump, "running");
        await _service.KillAsync();
        Assert.False(File.Exists(Path.Combine(_service.Results, HeldTools.Dump, "sync.json"))); // it was in mid-run indeed
        _service.LetGo();

        await _service.StartAsync();
        await _service.UntilAsync("undisturbed", "done");
        await _service.UntilAsync(HeldTools.Dump, "waiting to run again");
        await _service.KillAsync();
        File.Delete(heldUp);
        await _service.StartAsync();
        await _service.UntilAsync(HeldTools.Dump, "done");

        string[] stages = ["Probing", "Reading sound", "Aligning", "Writing"]; // without picture there is no take
        string log = await File.ReadAllTextAsync(Path.Combine(_service.Results, HeldTools.Dump, "syncbench.log"));
        Assert.All(stages, stage => Assert.Equal(2, log.Split($"] {stage} took ").Length));
        foreach (string file in new[] { "clips.csv", "takes.csv", "segments.csv", "answers.csv" })
        {
            Assert.Equal(
                await File.ReadAllTextAsync(Path.Combine(_service.Results, "undisturbed", file)),
                await File.ReadAllTextAsync(Path.Combine(_service.Results, HeldTools.Dump, file)));
        }

        Assert.Empty(Directory.EnumerateFiles(_service.Results, "*.part", SearchOption.AllDirectories));
        Assert.Empty(Directory.EnumerateFileSystemEntries(_service.HomeFile("state/scratch")));

        await _service.StopAsync();
        await using (var store = new SqliteConnection($"Data Source={_service.HomeFile("state/dumps.db")};Pooling=False"))
        {
            await store.OpenAsync();
            await using SqliteCommand command = store.CreateCommand();
            command.CommandText = $"UPDATE dumps SET changed_at = '2000-01-01T00:00:00.0000000+00:00' WHERE folder LIKE '%/{HeldTools.Dump}'";
            await command.ExecuteNonQueryAsync();
        }

        Assert.Equal([".kept", ".kept"], Kept());
        await _service.StartAsync();
        Assert.True(SpinWait.SpinUntil(() => Kept().Length == 1, TimeSpan.FromSeconds(30)));
        Assert.True(Directory.Exists(Path.Combine(_service.Results, "undisturbed", ".kept")));
    }

    private string[] Kept() => [.. Directory.GetDirectories(_service.Results, ".kept", SearchOption.AllDirectories).Select(folder => Path.GetFileName(folder))];

    [Fact]
    public async Task AServiceToldToStop_StopsInSeconds_AndRunsTheDumpAtItsNextStart()
    {
        await SmallDump.DropAsync(_service.Drop, HeldTools.Dump, "FLAC");
        await _service.StartAsync();
        await _service.UntilAsync(HeldTools.Dump, "running");

        (int code, TimeSpan took) = await _service.StopAsync();

        Assert.Equal(0, code);
        Assert.InRange(took.TotalSeconds, 0, 8);
        await _service.StartAsync();
        await _service.UntilAsync(HeldTools.Dump, "running");
    }

    /// <summary>The first version's table, as its program wrote it; the engine's file is lost on the way.</summary>
    [Fact]
    public async Task AnUpgrade_KeepsWhatIsInLine_AndWhatIsDone()
    {
        await SmallDump.DropAsync(_service.Drop, "in-line");
        await SmallDump.DropAsync(_service.Drop, "ended");
        Directory.CreateDirectory(_service.HomeFile("state"));
        await using (var store = new SqliteConnection($"Data Source={_service.HomeFile("state/dumps.db")};Pooling=False"))
        {
            await store.OpenAsync();
            await using SqliteCommand command = store.CreateCommand();
            command.CommandText =
                """
                PRAGMA journal_mode = WAL;
                CREATE TABLE dumps (
                    id TEXT PRIMARY KEY, folder TEXT NOT NULL, state TEXT NOT NULL, reason TEXT NOT NULL DEFAULT '',
                    fingerprint TEXT NOT NULL DEFAULT '', stage TEXT NOT NULL DEFAULT '', item TEXT NOT NULL DEFAULT '',
                    share REAL NOT NULL DEFAULT 0, starts INTEGER NOT NULL DEFAULT 0, tries INTEGER NOT NULL DEFAULT 0,
                    cancel_wanted INTEGER NOT NULL DEFAULT 0, changed_at TEXT NOT NULL);
                INSERT INTO dumps (id, folder, state, reason, starts, changed_at)
                    VALUES (@id1, @folder1, 'Running', '', 1, '2026-11-25T09:00:00.0000000+00:00');
                INSERT INTO dumps (id, folder, state, reason, fingerprint, changed_at)
                    VALUES (@id2, @folder2, 'Failed', 'a reason of then', @print2, '2026-11-25T08:00:00.0000000+00:00');
                """;
            foreach ((string number, string dump) in new[] { ("1", "in-line"), ("2", "ended") })
            {
                string folder = Path.Combine(_service.Drop, dump);
                command.Parameters.AddWithValue("@id" + number, Hash(folder)[..16]);
                command.Parameters.AddWithValue("@folder" + number, folder);
                command.Parameters.AddWithValue("@print" + number, Hash(Listing(folder)));
            }

            await command.ExecuteNonQueryAsync();
        }

        await _service.StartAsync();

        await _service.UntilAsync("in-line", "done");
        await _service.UntilAsync("ended", "failed");
        Assert.Contains("a reason of then", await _service.Page.GetStringAsync("/"), StringComparison.Ordinal);
        Assert.Equal((1, 0), (_service.Begun("in-line"), _service.Begun("ended")));
    }

    [Fact]
    public async Task WhatMayPass_IsTriedAgain_AndWhatWillNot_FailsWithItsReason()
    {
        Directory.CreateDirectory(_service.Results);
        await File.WriteAllTextAsync(Path.Combine(_service.Results, "ropewalk-day2"), "where the results' folder is to be");
        await SmallDump.DropAsync(_service.Drop, "ropewalk-day2");
        Directory.CreateDirectory(Path.Combine(_service.Drop, "papers"));
        await File.WriteAllTextAsync(Path.Combine(_service.Drop, "papers", "call-sheet.txt"), "Tallowick, 8 o'clock");
        await SmallDump.DropAsync(_service.Drop, "an-hour-too-long");
        string recording = Path.Combine(_service.Drop, "an-hour-too-long", "RECORDER", "REC001.WAV");
        long bytes = new FileInfo(recording).Length;
        await Tool.RunAsync("truncate", "-s", "7T", recording); // holes take no room: it only says that it is so long
        await _service.StartAsync();
        await _service.UntilAsync("papers", "failed");
        await _service.UntilAsync("ropewalk-day2", "waiting to run again");
        await _service.UntilAsync("an-hour-too-long", "waiting to run again");
        Assert.Matches(
            $"{_service.Results}/an-hour-too-long: [0-9,]+ MB are free, and this dump may need 22,020,[0-9]{{3}} MB. Make room; it runs again by itself.",
            await _service.Page.GetStringAsync(await _service.AddressOfAsync("an-hour-too-long")));
        await Tool.RunAsync("truncate", "-s", bytes.ToString(CultureInfo.InvariantCulture), recording);
        string page = await _service.Page.GetStringAsync(await _service.AddressOfAsync("papers"));

        File.Delete(Path.Combine(_service.Results, "ropewalk-day2"));

        await _service.UntilAsync("ropewalk-day2", "done");
        await _service.UntilAsync("an-hour-too-long", "done");
        Assert.Contains("none of its 1 files is a recording", page, StringComparison.Ordinal);
        await _service.UntilAsync("papers", "failed");
    }

    [Fact]
    public async Task ARun_CanBeCancelledAndRunAgain()
    {
        await SmallDump.DropAsync(_service.Drop, HeldTools.Dump, "FLAC");
        await _service.StartAsync();
        await _service.UntilAsync(HeldTools.Dump, "running");
        string address = await _service.AddressOfAsync(HeldTools.Dump);

        Assert.Equal(HttpStatusCode.SeeOther, await _service.PressAsync(address, "cancel"));
        await _service.UntilAsync(HeldTools.Dump, "cancelled");
        Assert.Equal(HttpStatusCode.SeeOther, await _service.PressAsync(address, "rerun"));
        await _service.UntilAsync(HeldTools.Dump, "running");
    }

    [Fact]
    public async Task TheExampleOfTheGuide_Starts_AnswersAndEnds()
    {
        string guide = (await File.ReadAllTextAsync(Repository.File("docs/service.md"))).Split("```json")[1].Split("```")[0];
        string settings = guide
            .Replace("/var/lib/syncbench", _service.HomeFile("state"), StringComparison.Ordinal)
            .Replace("/media/dumps", _service.Drop, StringComparison.Ordinal)
            .Replace("/media/results", _service.Results, StringComparison.Ordinal)
            .Replace("/etc/syncbench/ropewalk.json", Repository.File("docs/settings.example.json"), StringComparison.Ordinal)
            .Replace("\"port\": 8470", "\"port\": 0", StringComparison.Ordinal);
        Assert.DoesNotMatch("8470|\"/(var|media|etc)/", settings);
        await File.WriteAllTextAsync(_service.SettingsFile, settings);

        await _service.StartAsync();
        using HttpResponseMessage health = await _service.Page.GetAsync(new Uri("/healthz", UriKind.Relative));
        Assert.Equal(HttpStatusCode.OK, health.StatusCode);
        Assert.Equal(0, (await _service.StopAsync()).ExitCode);
    }

    private static double Metric(string[] lines, string name, string tag) => double.Parse(
        Assert.Single(lines, line => line.StartsWith(name + "{", StringComparison.Ordinal) && line.Contains(tag, StringComparison.Ordinal)).Split("} ")[1].Split(' ')[0],
        CultureInfo.InvariantCulture);

    private static string Hash(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    /// <summary>As the service knows again what it has run: each file's path, size and time in ticks.</summary>
    private static string Listing(string dump) => string.Concat(Directory.EnumerateFiles(dump, "*", SearchOption.AllDirectories)
        .Order(StringComparer.Ordinal)
        .Select(file => string.Create(
            CultureInfo.InvariantCulture, $"{Path.GetRelativePath(dump, file)}\0{new FileInfo(file).Length}\0{File.GetLastWriteTimeUtc(file).Ticks}\0")));

    private string Result(string file) => Path.Combine(_service.Results, "ropewalk-day2", file);
}
