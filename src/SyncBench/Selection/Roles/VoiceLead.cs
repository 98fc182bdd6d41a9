using System.Numerics.Tensors;
using SyncBench.Alignment;
using SyncBench.Signal;
using SyncBench.Time;

namespace SyncBench.Selection.Roles;

/// <summary>By how much earlier one channel of a clip hears the voices than another: both are on one clock.</summary>
/// <remarks>
/// Asked twice: where the first channel is loudest beside the second, and where the second is loudest beside the first. Two mics on two
/// talkers each lead for their own, and then there is no answer.
/// </remarks>
internal static class VoiceLead
{
    private const int Window = 4096;

    /// <summary>40 ms: 14 m of sound.</summary>
    private const int Reach = 640;

    /// <summary>Steps of <see cref="BandLevels"/> in a window, to the next whole one.</summary>
    private const int StepsInWindow = 25;

    /// <summary>About 6 s of speech.</summary>
    private const int FewestWindows = 24;

    private const int FewestInSet = 8;
    private const int MostInSet = 40;

    /// <summary>Above the quietest tenth, dB.</summary>
    private const float Speaking = 6;

    /// <summary>Half a millisecond: a head that turns.</summary>
    private const int Sway = 8;

    private const double LeastAgreement = 0.5;

    /// <returns>Null where the sound does not tell.</returns>
    internal static MediaTime? Between(ClipSound sound, int first, int second)
    {
        if (sound.Samples is not { } samples)
        {
            return null;
        }

        float[] one = Levels(sound.Bands[first]), other = Levels(sound.Bands[second]);
        int[] speech = [.. Spoken(one, other).OrderBy(window => one[window] - other[window])];
        if (speech.Length < FewestWindows)
        {
            return null;
        }

        int count = Math.Clamp(speech.Length / 10, FewestInSet, MostInSet);
        var correlator = new CrossCorrelator(8192, SoundTrack.SamplesPerSecond, 200, 7500);
        double? atFirst = Lead(speech[^count..], samples, first, second, correlator);
        double? atSecond = Lead(speech[..count], samples, first, second, correlator);
        return atFirst is { } a && atSecond is { } b && Math.Abs(a - b) <= 2 * Sway
            ? MediaTime.FromSeconds((Math.Abs(a) < Math.Abs(b) ? a : b) / SoundTrack.SamplesPerSecond)
            : null;
    }

    /// <summary>dB in the speech bands, one a window.</summary>
    private static float[] Levels(BandLevels levels)
    {
        var windows = new float[levels.Steps / StepsInWindow];
        for (int window = 0; window < windows.Length; window++)
        {
            float sum = 0;
            for (int step = 0; step < StepsInWindow; step++)
            {
                sum += SpeechBands.Power(levels.Step((window * StepsInWindow) + step));
            }

            windows[window] = SpeechBands.Db(sum / StepsInWindow);
        }

        return windows;
    }

    /// <summary>Windows in which both stand above their quietest tenth, and in the upper half of each.</summary>
    private static IEnumerable<int> Spoken(float[] one, float[] other)
    {
        if (one.Length == 0)
        {
            return [];
        }

        float first = Threshold(one), second = Threshold(other);
        return Enumerable.Range(0, one.Length).Where(window => one[window] >= first && other[window] >= second);

        static float Threshold(float[] levels)
        {
            float[] sorted = [.. levels.Order()];
            return Math.Max(sorted[sorted.Length / 10] + Speaking, sorted[sorted.Length / 2]);
        }
    }

    /// <summary>Samples; the windows' median where at least half of them agree with it.</summary>
    private static double? Lead(int[] windows, SoundStore samples, int first, int second, CrossCorrelator correlator)
    {
        var reference = new float[Window + (2 * Reach)];
        var query = new float[Window];
        float[] taper = Signal.Window.Hann(Window);
        var row = new float[(2 * Reach) + 1];
        var leads = new List<double>(windows.Length);
        foreach (int window in windows)
        {
            long start = (long)(window * StepsInWindow * SoundTrack.SamplesPerSecond / SoundTrack.StepsPerSecond);
            samples.Read(first, start - Reach, reference);
            samples.Read(second, start, query);
            for (int i = 0; i < query.Length; i++)
            {
                query[i] *= taper[i];
            }

            if (correlator.Load(reference, query))
            {
                correlator.Row(1, Reach, row);
                leads.Add(Reach - TensorPrimitives.IndexOfMaxMagnitude<float>(row)); // wired with the other polarity it is the same mic
            }
        }

        double median = leads.Count == 0 ? 0 : Statistics.Median(leads.ToArray());
        return leads.Count > 0 && leads.Count(lead => Math.Abs(lead - median) <= Sway) >= LeastAgreement * windows.Length ? median : null;
    }
}
