using System.Collections.Concurrent;
using System.Security.Cryptography;
using Serilog;
using Serilog.Core;
using Serilog.Events;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Pipeline;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

/// <summary>What a run keeps, and what the next one makes of it. The log tells which stages were done.</summary>
public sealed class KeptFolderTests : IDisposable, IAsyncLifetime
{
    private static readonly Stage[] Dying = [Stage.Align, Stage.ChooseMics, Stage.RenderDialogue, Stage.Write];
    private static readonly string[] Stages = ["Probing", "Reading sound", "Aligning", "Choosing mics", "Rendering dialogue", "Writing"];

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>A recorder, and a camera with picture that heard the same.</summary>
    public async Task InitializeAsync()
    {
        Directory.CreateDirectory(_folder.File("dump/RECORDER"));
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "anoisesrc=r=48000:a=0.5:seed=7:d=30", "-af", "tremolo=f=4.3:d=0.9,tremolo=f=1.1:d=0.8",
            "-c:a", "pcm_s16le", _folder.File("dump/RECORDER/R1.WAV"));
        await CameraAsync("CAM_A/A1.MOV", from: 5, seconds: 8);
    }

    public Task DisposeAsync() => Task.CompletedTask;

    [Fact]
    public async Task ARunThatDiesInEveryStage_DoesEachOnce_WithTheBytesOfAnUndisturbedRun()
    {
        await RunAsync("undisturbed", kept: false);
        var done = new List<string>();
        foreach (Stage stage in Dying)
        {
            done.AddRange(await DieAsync(stage));
        }

        done.AddRange(await RunAsync("out"));

        Assert.Equal(Stages, done);
        Assert.Equal(Results("undisturbed"), Results("out"));
    }

    /// <summary>One file after the other has a bit turned, or loses its second half.</summary>
    [Fact]
    public async Task WhatIsDamaged_IsDoneAgain()
    {
        await RunAsync("undisturbed", kept: false);
        await DieAsync(Stage.Write);
        bool cut = false;
        foreach (string file in Directory.GetFiles(_folder.File("kept")))
        {
            cut = !cut;
            byte[] bytes = await File.ReadAllBytesAsync(file);
            bytes[bytes.Length / 2] ^= 1;
            await File.WriteAllBytesAsync(file, cut ? bytes[..(bytes.Length / 2)] : bytes);
        }

        Assert.Equal(Stages, await RunAsync("out"));
        Assert.Equal(Results("undisturbed"), Results("out"));
    }

    /// <summary>As if one was renamed by mistake, or came from another version that made it of the same.</summary>
    [Fact]
    public async Task WhatIsWholeButAnotherStages_IsDoneAgain()
    {
        await RunAsync("undisturbed", kept: false);
        await DieAsync(Stage.Write);
        string[] stages = Directory.GetFiles(_folder.File("kept"), "*.stage"); // placements, and choices of mic
        (byte[] one, byte[] other) = (await File.ReadAllBytesAsync(stages[0]), await File.ReadAllBytesAsync(stages[1]));
        await File.WriteAllBytesAsync(stages[0], other);
        await File.WriteAllBytesAsync(stages[1], one);

        Assert.Equal(["Aligning", "Choosing mics", "Writing"], await RunAsync("out"));
        Assert.Equal(Results("undisturbed"), Results("out"));
    }

    [Fact]
    public async Task ADumpThatGrew_HasItsNewFileReadOnly_WithTheBytesOfAFreshRun()
    {
        await RunAsync("out");
        Dictionary<string, DateTime> before = Readings();
        await CameraAsync("CAM_B/B1.MOV", from: 3, seconds: 9);

        string[] done = await RunAsync("out");

        await RunAsync("fresh", kept: false);
        Assert.Equal(Stages, done);
        Dictionary<string, DateTime> after = Readings();
        Assert.Equal(2, after.Keys.Except(before.Keys).Count()); // sound and sums
        Assert.All(before, reading => Assert.Equal(reading.Value, after[reading.Key]));
        Assert.Equal(Results("fresh"), Results("out"));
    }

    [Fact]
    public async Task AfterACorrection_OnlyWhatDependsOnItIsDone()
    {
        await RunAsync("out");
        new Corrections([new MicCorrection(1, MicRole.Scratch, "0:07", "0:09", "CAM_A")], [], [], []).Save(_folder.File("out"));

        Assert.Equal(["Choosing mics", "Rendering dialogue", "Writing"], await RunAsync("out"));

        new Corrections([], [], [new PlacedByHand("CAM_A/A1.MOV", "RECORDER/R1.WAV", 6.4)], []).Save(_folder.File("out"));
        Assert.Equal(["Aligning", "Choosing mics", "Rendering dialogue", "Writing"], await RunAsync("out"));
        Assert.Equal(2, Directory.GetFiles(_folder.File("kept"), "*.stage").Length); // what this run had no use for is gone
        Assert.Empty(Directory.GetFiles(_folder.File("kept"), "*.track"));
    }

    /// <summary>A share may have failed: the next run tries again, and makes nothing of what the last one read.</summary>
    [Fact]
    public async Task WhatCouldNotBeReadWhole_IsReadAgain()
    {
        string file = _folder.File("dump/RECORDER_2/R2.FLAC");
        Directory.CreateDirectory(Path.GetDirectoryName(file)!);
        await Tool.FfmpegAsync("-i", _folder.File("dump/RECORDER/R1.WAV"), file);
        byte[] bytes = await File.ReadAllBytesAsync(file);
        bytes.AsSpan(bytes.Length / 2, bytes.Length / 4).Clear();
        await File.WriteAllBytesAsync(file, bytes);
        await RunAsync("out");

        Assert.Contains("Reading sound", await RunAsync("out"));
        Assert.Equal(2, Readings().Keys.Count(reading => reading.EndsWith(".sound", StringComparison.Ordinal)));
        Assert.Contains("R2.FLAC", await File.ReadAllTextAsync(_folder.File("out/report/index.html")), StringComparison.Ordinal);
    }

    /// <summary>Copied from the card again, with size and time of the damaged copy: that time says nothing.</summary>
    [Fact]
    public async Task AFileThatWasCopiedAnew_IsAnotherFile()
    {
        await RunAsync("out");
        string file = _folder.File("dump/CAM_A/A1.MOV");
        DateTime written = File.GetLastWriteTimeUtc(file);
        byte[] bytes = await File.ReadAllBytesAsync(file);
        bytes.AsSpan(bytes.Length / 3, bytes.Length / 3).Clear();
        await File.WriteAllBytesAsync(file, bytes);
        File.SetLastWriteTimeUtc(file, written);

        Assert.Equal(Stages, await RunAsync("out"));
    }

    private Dictionary<string, DateTime> Readings() => new[] { "*.sound", "*.sums" }
        .SelectMany(kind => Directory.GetFiles(_folder.File("kept"), kind)).ToDictionary(file => file, File.GetLastWriteTimeUtc);

    private string[] Results(string output) =>
    [
        .. Directory.GetFiles(_folder.File(output), "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal)
            .Select(file => $"{Path.GetRelativePath(_folder.File(output), file)} {Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(file)))}"),
    ];

    /// <returns>The stages that were done.</returns>
    private async Task<string[]> DieAsync(Stage stage)
    {
        var done = new StageLog();
        await Assert.ThrowsAsync<TimeoutException>(() => RunAsync("out", true, done, new DirectProgress<StageProgress>(
            now => _ = now.Stage == stage ? throw new TimeoutException() : 0)));
        return done.Stages;
    }

    /// <returns>The stages that were done.</returns>
    private async Task<string[]> RunAsync(string output, bool kept = true)
    {
        var done = new StageLog();
        await RunAsync(output, kept, done, null);
        return done.Stages;
    }

    private async Task RunAsync(string output, bool kept, StageLog done, IProgress<StageProgress>? progress)
    {
        await using Logger log = new LoggerConfiguration().WriteTo.Sink(done).CreateLogger();
        await new DumpRun(log, new StoppedClock()).RunAsync(
            new RunRequest(
                _folder.File("dump"), OutputFolder.Open(_folder.File(output), _folder.File("dump")), DumpSettings.Usual,
                kept ? _folder.File("kept") : null),
            progress, CancellationToken.None);
    }

    private Task CameraAsync(string name, int from, int seconds)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(_folder.File("dump/" + name))!);
        return Tool.FfmpegAsync(
            "-f", "lavfi", "-i", $"testsrc2=s=64x64:d={seconds}:r=25", "-ss", $"{from}", "-i", _folder.File("dump/RECORDER/R1.WAV"),
            "-t", $"{seconds}", "-c:a", "pcm_s16le", _folder.File("dump/" + name));
    }

    /// <summary>The stages that the log says took their time.</summary>
    private sealed class StageLog : ILogEventSink
    {
        private readonly ConcurrentQueue<string> _took = new();

        internal string[] Stages => [.. _took.Where(KeptFolderTests.Stages.Contains)];

        public void Emit(LogEvent logEvent)
        {
            if (logEvent.MessageTemplate.Text.Contains("} took {", StringComparison.Ordinal))
            {
                _took.Enqueue(((ScalarValue)logEvent.Properties["Stage"]).Value!.ToString()!);
            }
        }
    }

    private sealed class StoppedClock : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero);
    }
}
