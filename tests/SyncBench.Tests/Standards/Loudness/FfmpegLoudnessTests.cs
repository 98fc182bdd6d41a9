using System.Globalization;
using System.Text.RegularExpressions;
using SyncBench.Scenes;
using SyncBench.Signal.Loudness;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Standards.Loudness;

/// <summary>Our measurement of spoken words against that of ffmpeg's filter ebur128, which knows nothing of ours.</summary>
public class FfmpegLoudnessTests
{
    [Theory]
    [InlineData(48_000)]
    [InlineData(44_100)]
    public async Task SpokenWords_ReadAsFfmpegReadsThem(int rateHz)
    {
        float[] speech = await SpeechAsync(rateHz);
        using var folder = new TemporaryFolder();
        await BroadcastWave.WriteAsync(
            folder.File("talk.wav"), [speech], rateHz, "test", "talk", DateTime.UnixEpoch, CancellationToken.None);
        string summary = await Tool.OutputAsync(
            "ffmpeg", "-nostdin", "-hide_banner", "-i", folder.File("talk.wav"), "-af", "ebur128=peak=true", "-f", "null", "-");

        LoudnessTrack track = Programme.Track(speech, rateHz);
        LoudnessFigures ours = LoudnessFigures.Of(track.Powers, track.Peaks.ToArray().Max());

        // ffmpeg prints one decimal.
        Assert.Equal(Read(summary, "I:"), ours.IntegratedLufs, 0.1);
        Assert.Equal(Read(summary, "LRA:"), ours.RangeLu, 0.3);
        Assert.Equal(Read(summary, "Peak:"), ours.TruePeakDb, 0.25);
    }

    /// <summary>Both speakers, far apart in level, with pauses; so the gates and the range have work to do.</summary>
    private static async Task<float[]> SpeechAsync(int rateHz)
    {
        Rehearsal rehearsal = await Rehearsal.OfAsync([.. Interview.Lines.Take(6)], 1, 0, 5);
        var speech = new float[rehearsal.Sentences.Max(sentence => sentence.End)];
        foreach (SpokenSentence sentence in rehearsal.Sentences)
        {
            float gain = sentence.Line.Speaker == Speaker.Subject ? 1 : 0.25f;
            for (int n = 0; n < sentence.Samples.Length; n++)
            {
                speech[sentence.Start + n] = gain * sentence.Samples[n];
            }
        }

        return rateHz == Air.SampleRateHz
            ? speech
            : new DeviceClock(0, rateHz).Record(speech, 0, (int)((long)speech.Length * rateHz / Air.SampleRateHz));
    }

    /// <summary>The last one printed belongs to the summary.</summary>
    private static double Read(string text, string label) => double.Parse(
        Regex.Matches(text, $@"{label}\s+(-?[\d.]+) (LUFS|LU|dBFS)")[^1].Groups[1].Value, CultureInfo.InvariantCulture);
}
