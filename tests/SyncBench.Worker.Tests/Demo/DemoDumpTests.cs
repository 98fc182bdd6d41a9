using System.Globalization;
using FFMpegCore;
using SyncBench.Scenes;
using Xunit.Abstractions;

namespace SyncBench.Worker.Tests.Demo;

/// <summary>
/// The main job on real files with known truth. A camera is placed by its own microphone, so its start is the true start
/// less the travel time of sound from the subject beyond that to the lavalier (design section 5.8; the formula stands in
/// truth.json).
/// </summary>
[Collection(nameof(DemoRun))]
public class DemoDumpTests(DemoRun run, ITestOutputHelper output)
{
    private const double PlacementToleranceS = 0.0005;
    private const double RateTolerancePpm = 2;

    [Fact]
    public void EveryClipWithSound_IsPlacedWithinHalfAMillisecond()
    {
        TrueFile[] withSound = [.. run.Truth.Files.Where(file => file.SoundAlignedStartS is not null)];
        Assert.Equal(6, withSound.Length);
        foreach (TrueFile file in withSound)
        {
            IReadOnlyDictionary<string, string> row = run.Clips[file.File];
            double error = Number(row["start_s"]) - file.SoundAlignedStartS!.Value;
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{file.File}: {error * 1000:+0.000;-0.000} ms"));
            Assert.Equal("placed", row["outcome"]);
            Assert.InRange(error, -PlacementToleranceS, PlacementToleranceS);
        }
    }

    [Fact]
    public void EveryClock_IsFoundWithinTwoPpm()
    {
        foreach (TrueFile file in run.Truth.Files.Where(file => file.SoundAlignedStartS is not null))
        {
            double truth = run.Truth.Devices.Single(device => device.Name == file.Device).RatePpm;
            double error = Number(run.Clips[file.File]["rate_ppm"]) - truth;
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{file.File}: {error:+0.000;-0.000} ppm"));
            Assert.InRange(error, -RateTolerancePpm, RateTolerancePpm);
        }
    }

    [Fact]
    public void BRoll_IsSetAsideWithItsReason()
    {
        TrueFile[] bRoll = [.. run.Truth.Files.Where(file => file.Kind == "b-roll")];
        Assert.Equal(2, bRoll.Length);
        Assert.All(bRoll, file => Assert.Equal("set aside", run.Clips[file.File]["outcome"]));
        Assert.Contains(bRoll, file => run.Clips[file.File]["reason"].Contains("silent", StringComparison.Ordinal));
        Assert.Contains(bRoll, file => run.Clips[file.File]["reason"].Contains("no sound", StringComparison.Ordinal));
    }

    [Fact]
    public void TheBadFile_IsNamed_AndTheScriptGoesOnAllTheSame()
    {
        TrueFile bad = Assert.Single(run.Truth.Files, file => file.Kind == "not media");

        Assert.Equal("unreadable", run.Clips[bad.File]["outcome"]);
        Assert.Contains(bad.File, run.Answer.Output, StringComparison.Ordinal);
        Assert.Equal(0, run.Answer.ExitCode);
        Assert.Empty(run.Answer.Error);
    }

    /// <summary>Each file is named that a listener is told to play.</summary>
    [Fact]
    public void TheScript_EndsWithWhatToListenTo_AndACaution()
    {
        string[] told = [.. run.Answer.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries).SkipWhile(line => !line.StartsWith("Listen", StringComparison.Ordinal))];

        Assert.Contains("Start at a moderate level", told[0], StringComparison.Ordinal);
        Assert.Equal(2, told[1..].Length);
        Assert.Equal(Directory.GetFiles(run.Output("dialogue/changes"), "*.wav").Order(StringComparer.Ordinal), told[1..].Order(StringComparer.Ordinal));
    }

    [Fact]
    public void EveryFileOfTheDump_HasAnOutcomeAndAReason()
    {
        Assert.Equal(
            run.Truth.Files.Select(file => file.File).Order(StringComparer.Ordinal),
            run.Clips.Keys.Order(StringComparer.Ordinal));
        Assert.All(run.Clips.Values, row => Assert.NotEmpty(row["reason"]));
    }

    [Theory]
    [InlineData("rustle", "shotgun", "rustle")]
    [InlineData("wind", "lavalier", "wind")]
    public void DuringAFault_TheOtherMicIsHeard_WithTheReason(string fault, string heard, string word)
    {
        TrueFault truth = run.Truth.Faults.Single(f => f.Kind == fault);
        TrueMic mic = run.Truth.Mics.Single(m => m.Mic == heard);
        (double start, double end) = (truth.StartS, truth.EndS);
        double right = 0;
        foreach (IReadOnlyDictionary<string, string> row in run.Csv("segments.csv"))
        {
            double share = Math.Max(0, Math.Min(end, Number(row["end_s"])) - Math.Max(start, Number(row["start_s"])));
            bool isHeard = run.Clips[row["mic_file"]]["device"] == mic.Device
                && row["channel"] == (mic.Channel + 1).ToString(CultureInfo.InvariantCulture);
            right += isHeard ? share : 0;
            if (share > 5)
            {
                output.WriteLine($"{row["start_s"]} {row["end_s"]} {row["mic_file"]} {row["channel"]} {row["reason"]}");
                Assert.Contains(word, row["reason"], StringComparison.Ordinal);
            }
        }

        Assert.InRange(right / (end - start), 0.95, 1);
    }

    /// <summary>Turns of the interview that lie wholly in a take; an interjection is no turn of its own.</summary>
    [Theory]
    [InlineData("subject", "answer")]
    [InlineData("interviewer", "question")]
    public void AnswersAndQuestions_LieWithinAFifthOfASecond(string speaker, string kind)
    {
        IReadOnlyDictionary<string, string>[] told = [.. run.Csv("answers.csv").Where(row => row["kind"] == kind)];
        TrueTurn[] turns =
        [
            .. run.Truth.Turns.Where(turn => turn.Speaker == speaker && !turn.Interjection
                && run.Truth.Takes.Any(take => take.StartS <= turn.StartS && take.EndS >= turn.EndS)),
        ];
        double[] off =
        [
            .. turns.SelectMany(turn =>
            {
                IReadOnlyDictionary<string, string> best = told.MaxBy(row =>
                    Math.Min(turn.EndS, Number(row["end_s"])) - Math.Max(turn.StartS, Number(row["start_s"])))!;
                output.WriteLine($"{turn.StartS:0.00} to {turn.EndS:0.00}: {best["start_s"]} to {best["end_s"]} {best["possible_restart"]}");
                return new[] { Number(best["start_s"]) - turn.StartS, Number(best["end_s"]) - turn.EndS };
            }),
        ];

        Assert.Equal(turns.Length, told.Length);
        Assert.All(off, seconds => Assert.InRange(seconds, -0.2, 0.2));
    }

    [Fact]
    public void Takes_AreThoseOfTheTruth()
    {
        IReadOnlyList<IReadOnlyDictionary<string, string>> takes = run.Csv("takes.csv");

        Assert.Equal(run.Truth.Takes.Count, takes.Count);
        foreach ((TrueTake truth, IReadOnlyDictionary<string, string> row) in run.Truth.Takes.Zip(takes))
        {
            Assert.InRange(Number(row["start_s"]) - truth.StartS, -0.05, 0.05);
            Assert.InRange(Number(row["end_s"]) - truth.EndS, -0.05, 0.05);
        }
    }

    /// <summary>The demo's timeline runs at 25 frames a second, 1920 samples each, and begins at 01:00:00:00.</summary>
    [Fact]
    public async Task TheDialogue_IsAsLongAsTheTake_StartsOnAFrame_AndIsNotTooLoud()
    {
        foreach (IReadOnlyDictionary<string, string> take in run.Csv("takes.csv"))
        {
            string path = run.Output(take["dialogue_file"]);
            IMediaAnalysis file = await FFProbe.AnalyseAsync(path);
            double error = file.Duration.TotalSeconds - Number(take["duration_s"]);
            long reference = long.Parse(file.Format.Tags!["time_reference"], CultureInfo.InvariantCulture);
            output.WriteLine($"{take["take"]}: {error:+0.000;-0.000} s, {take["integrated_lufs"]} LUFS, {take["true_peak_dbtp"]} dBTP");

            Assert.InRange(error, -0.041, 0.041);
            Assert.Equal(0, (long)Math.Round(file.Duration.TotalSeconds * 48_000) % 1920);
            Assert.Equal(0, reference % 1920);
            Assert.InRange(reference / 48_000.0, 3600, 3600 + 600);
            Assert.Equal("SyncBench", file.Format.Tags["encoded_by"]);
            Assert.True(Number(take["true_peak_dbtp"]) <= -1);
            Assert.Equal(-23, Number(take["integrated_lufs"]) + Number(take["gain_to_target_db"]), 0.011);
        }
    }

    [Theory]
    [InlineData("timeline.otio")]
    [InlineData("edl/WIDE.edl")]
    [InlineData("edl/CLOSE.edl")]
    [InlineData("edl/DIALOGUE.edl")]
    [InlineData("dialogue/take-1.wav")]
    [InlineData("dialogue/take-2.wav")]
    [InlineData("dialogue/take-1.vtt")]
    [InlineData("markers.vtt")]
    [InlineData("clips.csv")]
    [InlineData("takes.csv")]
    [InlineData("segments.csv")]
    [InlineData("answers.csv")]
    [InlineData("sync.json")]
    [InlineData("report/index.html")]
    [InlineData("syncbench.log")]
    public void TheResultsFolder_Holds(string name) => Assert.True(new FileInfo(run.Output(name)).Length > 0);

    [Fact]
    public async Task TheDump_IsNotWrittenTo() => Assert.Equal(run.Before, await run.FingerprintAsync());

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
