using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Signal.Loudness;

namespace SyncBench.Selection;

/// <summary>Measures how loud each mic of a take is, by how much they differ, and how loud the chosen dialogue is.</summary>
public static class LoudnessOfTake
{
    /// <param name="take">With its segments: the mic that is heard longest is the main one.</param>
    /// <param name="sound">What was measured of each clip of the take.</param>
    public static TakeLoudness Measure(TakeSound take, Func<Clip, ClipSound> sound)
    {
        MicLoudnessTrack[] tracks =
        [
            .. take.Take.Placements
                .SelectMany(placement => placement.Clip.SpeechMics.Select(mic => new MicSource(placement, mic)))
                .GroupBy(source => (source.Clip.Device, source.Mic))
                .OrderBy(mic => mic.Key.Mic.Role)
                .ThenBy(mic => mic.Key.Device.Name, StringComparer.Ordinal)
                .ThenBy(mic => mic.Key.Mic.Channel)
                .Select(mic => MicLoudnessTrack.Of(mic.Key.Device, mic.Key.Mic, take.Take.CommonRange, [.. mic], sound)),
        ];
        (double Db, string By)[] matches = LevelMatch.ToMain(tracks, Main(tracks, take.Segments));
        return new TakeLoudness(
            [.. tracks.Select((track, i) => new MicLoudness(
                track.Device, track.Mic, LoudnessFigures.Of(track.Powers, track.TruePeak), track.ActiveSpeechDb,
                matches[i].Db, matches[i].By))],
            Dialogue(take, tracks, matches));
    }

    /// <summary>−1 where no mic is heard.</summary>
    private static int Main(MicLoudnessTrack[] tracks, ImmutableArray<Segment> segments) => segments
        .GroupBy(segment => Array.FindIndex(tracks, track => track.Holds(segment.Source)))
        .OrderByDescending(mic => mic.Sum(segment => segment.CommonRange.Duration.ToSeconds()))
        .ThenBy(mic => mic.Key)
        .Select(mic => mic.Key)
        .FirstOrDefault(-1);

    private static LoudnessFigures? Dialogue(TakeSound take, MicLoudnessTrack[] tracks, (double Db, string By)[] matches)
    {
        if (take.Segments.IsEmpty)
        {
            return null;
        }

        TakeGrid grid = TakeGrid.Over(take.Take.CommonRange, LoudnessTrack.StepRate);
        var powers = new float[grid.Steps];
        double peak = 0;
        foreach (Segment segment in take.Segments)
        {
            int mic = Array.FindIndex(tracks, track => track.Holds(segment.Source));
            double gain = Math.Pow(10, matches[mic].Db / 20);
            (int from, int to) = (grid.FirstMiddleFrom(segment.CommonRange.Start), grid.FirstMiddleFrom(segment.CommonRange.End));
            for (int step = from; step < to; step++)
            {
                float power = tracks[mic].Powers[step];
                powers[step] = float.IsNaN(power) ? 0 : (float)(gain * gain * power);
            }

            peak = Math.Max(peak, gain * tracks[mic].HighestPeak(from, to));
        }

        return LoudnessFigures.Of(powers, (float)peak);
    }
}
