using Serilog;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Pipeline;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

/// <summary>A few seconds of made sound as real files; the demo dump is held against its truth in the worker's tests.</summary>
public sealed class DumpRunTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task WhateverIsInADump_EveryFileGetsAnOutcome_AndTheRestGoesOn()
    {
        await NoiseAsync("dump/RECORDER/1.WAV", seconds: 20, start: 0);
        await NoiseAsync("dump/CAM_A/1.WAV", seconds: 8, start: 5);
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "testsrc2=s=64x64:d=1", "-frames:v", "1", Make("dump/CAM_A/still.png"));
        await File.WriteAllTextAsync(Make("dump/notes =cmd|'.txt"), "rope");
        await File.WriteAllTextAsync(Make("dump/CAM_A/broken\n2.MOV"), "no movie");
        await File.WriteAllBytesAsync(Make("dump/CAM_A/empty.MP4"), []);

        DumpResult result = await RunAsync();

        var outcome = result.Files.ToDictionary(file => file.File.Path, file => file.Outcome);
        Assert.Equal(6, outcome.Count);
        Assert.Equal(Outcome.Placed, outcome["RECORDER/1.WAV"]);
        Assert.Equal(Outcome.Placed, outcome["CAM_A/1.WAV"]);
        Assert.Equal(Outcome.SetAside, outcome["CAM_A/still.png"]);
        Assert.Equal(Outcome.SetAside, outcome["notes =cmd|'.txt"]);
        Assert.Equal(Outcome.Unreadable, outcome["CAM_A/broken\n2.MOV"]);
        Assert.Equal(Outcome.Unreadable, outcome["CAM_A/empty.MP4"]);
        Assert.All(result.Files, file => Assert.NotEmpty(file.Reason));
    }

    [Fact]
    public async Task ADumpRunTwice_GivesTheSameBytes()
    {
        await NoiseAsync("dump/RECORDER/1.WAV", seconds: 20, start: 0);
        await NoiseAsync("dump/CAM_A/1.WAV", seconds: 8, start: 5);

        await RunAsync();
        string[] first = [.. Results().Select(File.ReadAllText)];
        await RunAsync();

        Assert.Equal(first, Results().Select(File.ReadAllText));
    }

    [Fact]
    public async Task WhatAnEarlierRunWrote_GoesWithItsTake_ButNothingElse()
    {
        await NoiseAsync("dump/RECORDER/1.WAV", seconds: 20, start: 0);
        await Tool.FfmpegAsync(
            "-f", "lavfi", "-i", "testsrc2=s=64x64:d=8:r=25", "-ss", "5", "-i", _folder.File("dump/RECORDER/1.WAV"), "-t", "8", Make("dump/CAM_A/C1.MOV"));
        await RunAsync();
        Assert.Contains("take-1.wav", Dialogues());
        Assert.Contains("take-1.vtt", Dialogues());
        await File.WriteAllTextAsync(_folder.File("out/dialogue/mine.wav"), "of a person");
        File.SetLastWriteTimeUtc(_folder.File("out/dialogue/take-1.vtt"), DateTime.UtcNow.AddMinutes(1)); // edited since
        new Corrections([], [], [], ["CAM_A/C1.MOV"]).Save(_folder.File("out"));

        DumpResult result = await RunAsync();

        Assert.Empty(result.Takes);
        Assert.Equal(["mine.wav", "take-1.vtt"], Dialogues());
    }

    private IEnumerable<string?> Dialogues() => Directory.GetFiles(_folder.File("out/dialogue")).Select(Path.GetFileName).Order(StringComparer.Ordinal);

    [Fact]
    public async Task WhatIsWrongWithTheDumpAsAWhole_IsSaid()
    {
        await NoiseAsync("dump/RECORDER/T1.WAV", seconds: 20, start: 0);
        await NoiseAsync("dump/CAM_A/C1.WAV", seconds: 8, start: 5);
        await NoiseAsync("dump/CAM_A/C3.WAV", seconds: 6, start: 9);
        File.Copy(_folder.File("dump/CAM_A/C1.WAV"), Make("dump/AGAIN/C1.WAV"));
        await File.WriteAllTextAsync(Make("dump/CAM_A/note.txt"), "hemp");
        Directory.CreateSymbolicLink(_folder.File("dump/out"), "/");
        await RunAsync();
        await File.WriteAllTextAsync(_folder.File("dump/CAM_A/note.txt"), "tarr");
        File.Delete(_folder.File("dump/CAM_A/C3.WAV"));

        DumpResult second = await RunAsync();

        Assert.Equal(
            [
                (FindingKind.NotAsInLastRun, "CAM_A/C3.WAV"), (FindingKind.NotAsInLastRun, "CAM_A/note.txt"),
                (FindingKind.NotRead, "out"),
            ],
            second.Findings.Select(finding => (finding.Kind, finding.Path)));
        Assert.True(second.NeedsAPerson);
        FileOutcome copy = second.Files.Single(file => file.File.Path == "CAM_A/C1.WAV");
        Assert.Equal((Outcome.SetAside, "the same content as AGAIN/C1.WAV, so it was copied twice"), (copy.Outcome, copy.Reason));
    }

    [Fact]
    public async Task AHoleInTheNumbering_IsSaid()
    {
        await NoiseAsync("dump/RECORDER/T1.WAV", seconds: 4, start: 0);
        await NoiseAsync("dump/RECORDER/T2.WAV", seconds: 4, start: 5);
        await NoiseAsync("dump/RECORDER/T4.WAV", seconds: 4, start: 10);

        IntakeFinding hole = Assert.Single((await RunAsync()).Findings);

        Assert.Equal((FindingKind.MissingNumber, "RECORDER/T2.WAV"), (hole.Kind, hole.Path));
    }

    [Fact]
    public async Task CorrectionsBesideTheResults_AreApplied_AndKeptWhenTheDumpGrows()
    {
        await NoiseAsync("dump/RECORDER/1.WAV", seconds: 20, start: 0);
        await NoiseAsync("dump/CAM_A/1.WAV", seconds: 8, start: 5);
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "testsrc2=s=64x64:d=4:r=25", Make("dump/CAM_B/1.MP4")); // a picture without sound
        await File.WriteAllTextAsync(Make("dump/CAM_B/2.MP4"), "broken off");
        new Corrections(
            [new MicCorrection(1, MicRole.Lavalier, "0:07", "0:09", "CAM_A", Clock: new ClockMark("RECORDER/1.WAV", 0))], [],
            [new PlacedByHand("CAM_B/1.MP4", "RECORDER/1.WAV", 6.4)], ["CAM_B/2.MP4"]).Save(_folder.File("out"));

        DumpResult result = await RunAsync();

        Assert.False(result.NeedsAPerson);
        FileOutcome byHand = result.Files.Single(file => file.File.Path == "CAM_B/1.MP4");
        Assert.Equal((Outcome.Placed, 6.4), (byHand.Outcome, byHand.Placement!.Map.Offset.ToSeconds()));
        FileOutcome leftOut = result.Files.Single(file => file.File.Path == "CAM_B/2.MP4");
        Assert.Equal((Outcome.SetAside, "left out by hand"), (leftOut.Outcome, leftOut.Reason));
        Assert.Equal(2, ByHandSeconds(result), 0.02);
        foreach (string file in new[] { "clips.csv", "sync.json", "report/index.html" })
        {
            string written = await File.ReadAllTextAsync(_folder.File($"out/{file}"));
            Assert.Contains("placed by hand: CAM_B/1.MP4 begins 6.4 s after RECORDER/1.WAV", written, StringComparison.Ordinal);
            Assert.Contains("left out by hand", written, StringComparison.Ordinal);
        }

        Assert.Contains("CAM_B/1.MP4", await File.ReadAllTextAsync(_folder.File("out/timeline.otio")), StringComparison.Ordinal);

        // A card that began ten seconds earlier comes: the clock begins earlier now, and the corrections still mean the same.
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "testsrc=s=64x64:d=4:r=25", Make("dump/CAM_C/1.MP4"));
        Corrections kept = Corrections.Load(_folder.File("out"));
        (kept with { Placed = [.. kept.Placed, new PlacedByHand("CAM_C/1.MP4", "RECORDER/1.WAV", -10)] }).Save(_folder.File("out"));

        DumpResult grown = await RunAsync();

        FileOutcome later = grown.Files.Single(file => file.File.Path == "CAM_B/1.MP4");
        Assert.Equal(16.4, later.Placement!.Map.Offset.ToSeconds(), 6);
        Segment segment = Assert.Single(grown.Takes.SelectMany(take => take.Segments), segment => segment.ByHand);
        Assert.Equal((17, 19), (segment.CommonRange.Start.ToSeconds(), segment.CommonRange.End.ToSeconds()));
    }

    private static double ByHandSeconds(DumpResult result) =>
        result.Takes.SelectMany(take => take.Segments).Where(segment => segment.ByHand).Sum(segment => segment.CommonRange.Duration.ToSeconds());

    /// <summary>A mic that the file of one take names and that of the next does not is one mic, on one track.</summary>
    [Fact]
    public async Task ACamerasClipWithoutSound_IsSetAside_AndEveryMicIsSettled()
    {
        await NoiseAsync("dump/RECORDER/1.WAV", seconds: 20, start: 0);
        string[] picture = ["-f", "lavfi", "-i", "testsrc2=s=64x64:d=8:r=25"];
        await Tool.FfmpegAsync([.. picture, "-ss", "5", "-i", _folder.File("dump/RECORDER/1.WAV"), "-t", "8", Make("dump/CAM_A/C1.MOV")]);
        await Tool.FfmpegAsync([.. picture, Make("dump/CAM_A/C2.MOV")]);

        DumpResult result = await RunAsync();

        FileOutcome lapse = result.Files.Single(file => file.File.Path == "CAM_A/C2.MOV");
        Assert.Equal((Outcome.SetAside, "it has no sound, as other clips of this camera do: a time lapse, slow or fast motion"), (lapse.Outcome, lapse.Reason));
        Assert.DoesNotContain(result.Files.SelectMany(file => file.Clip!.Mics), mic => mic.IsAssumed);
    }

    /// <summary>A cancelled run leaves neither results nor scratch files.</summary>
    [Fact]
    public async Task ACancelledRun_LeavesNothing()
    {
        await NoiseAsync("dump/RECORDER/1.WAV", seconds: 20, start: 0);
        using var stop = new CancellationTokenSource();
        var atAlign = new StopAt(Stage.ReadSound, stop);

        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => Run().RunAsync(Request(), atAlign, stop.Token));

        Assert.Empty(Directory.GetFiles(_folder.File("out")));
    }

    private static DumpRun Run() => new(new LoggerConfiguration().CreateLogger(), new StoppedClock());

    private Task<DumpResult> RunAsync() => Run().RunAsync(Request(), null, CancellationToken.None);

    private RunRequest Request() => new(
        _folder.File("dump"), OutputFolder.Open(_folder.File("out"), _folder.File("dump")), DumpSettings.Usual);

    private IEnumerable<string> Results() => Directory.GetFiles(_folder.File("out"), "*", SearchOption.AllDirectories)
        .Order(StringComparer.Ordinal);

    private string Make(string name)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(_folder.File(name))!);
        return _folder.File(name);
    }

    /// <summary>Noise in syllables: the same sound from a later start on, as another device would hear it.</summary>
    private Task NoiseAsync(string name, int seconds, int start) => Tool.FfmpegAsync(
        "-f", "lavfi", "-i", "anoisesrc=r=48000:a=0.5:seed=7:d=30",
        "-af", $"tremolo=f=4.3:d=0.9,tremolo=f=1.1:d=0.8,atrim={start}:{start + seconds},asetpts=PTS-STARTPTS",
        "-c:a", "pcm_s16le", Make(name));

    private sealed class StopAt(Stage stage, CancellationTokenSource stop) : IProgress<StageProgress>
    {
        public void Report(StageProgress value)
        {
            if (value.Stage == stage)
            {
                stop.Cancel();
            }
        }
    }

    private sealed class StoppedClock : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => new(2026, 11, 25, 12, 0, 0, TimeSpan.Zero);
    }
}
