using System.Globalization;
using FFMpegCore;
using SyncBench.Tests.Timeline;
using Xunit.Abstractions;

namespace SyncBench.Worker.Tests.Demo;

/// <summary>The timeline of the demo as a reader sees and plays it, on camera originals (AAC and WAV).</summary>
[Collection(nameof(DemoRun))]
public class DemoTimelineTests(DemoRun run, ITestOutputHelper output)
{
    [Fact]
    public void TheFile_KeepsTheSchema_AndItsArithmeticComesOut()
    {
        byte[] file = File.ReadAllBytes(run.Output("timeline.otio"));

        OtioSchema.AssertKeptBy(file);
        OtioReader.Read(file).CheckArithmetic();
    }

    [Fact]
    public void EveryLink_LeadsToAFileOfTheDump()
    {
        OtioReader file = OtioReader.Read(File.ReadAllBytes(run.Output("timeline.otio")));

        Assert.All(file.Tracks.SelectMany(track => track.Clips), clip => Assert.True(
            File.Exists(Uri.UnescapeDataString(new Uri(new Uri("file://" + run.Output("timeline.otio")), clip.Url!).AbsolutePath)), clip.Url));
    }

    /// <summary>A quarter of a frame at 25 is 10 ms.</summary>
    [Theory]
    [InlineData("dialogue/take-1.wav")]
    [InlineData("dialogue/take-2.wav")]
    public async Task TheTimelinePlayed_IsInSyncWithTheDialogueFile(string name)
    {
        OtioReader file = OtioReader.Read(await File.ReadAllBytesAsync(run.Output("timeline.otio")));
        float[] played = await new OtioPlayer(file, Path.GetDirectoryName(run.Output("timeline.otio"))!).PlayAsync("Dialogue");
        float[] dialogue = await OtioPlayer.SamplesAsync(run.Output(name), 1);
        IMediaAnalysis wave = await FFProbe.AnalyseAsync(run.Output(name));
        decimal reference = decimal.Parse(wave.Format.Tags!["time_reference"], CultureInfo.InvariantCulture) / 48_000;
        int start = (int)decimal.Round((reference - file.GlobalStart.Seconds) * 48_000);

        double[] lags = [.. OtioPlayer.Lags([.. new float[start], .. dialogue], played, start, 24)];

        output.WriteLine(string.Join(" ", lags.Select(lag => lag.ToString("0.00", CultureInfo.InvariantCulture))));
        Assert.InRange(lags.Length, 8, 24);
        Assert.All(lags, lag => Assert.InRange(lag, -10, 10));
    }
}
