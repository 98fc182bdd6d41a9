using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>Everything known of the mics of a take before one is chosen; arrays of mics share one order.</summary>
/// <param name="Trusted">The mic whose speech is believed at each step of the grid, −1 where none rolls.</param>
/// <param name="Joint">Probability that somebody speaks, one a step of the grid.</param>
/// <param name="Audible">The same, and 1 where a cut would be heard though nothing is understood.</param>
/// <param name="Ratios">Speech to noise in dB, [mic][step of the mic].</param>
internal sealed record TakeMics(
    TimeRange Take, TakeGrid Grid, MicTrack[] Tracks, MicFaults[] Faults, int[] Trusted, float[] Joint, float[] Audible, float[][] Ratios)
{
    /// <summary>Lavaliers first, then shotguns, then the cameras' own; within a role in the take's order.</summary>
    public static TakeMics Of(Take take, Func<Clip, ClipSound> sound)
    {
        TakeGrid grid = TakeGrid.Over(take.CommonRange);
        MicSource[] sources = [.. take.Placements
            .SelectMany(placement => placement.Clip.SpeechMics.Select(mic => new MicSource(placement, mic)))
            .OrderBy(source => source.Mic.Role)];
        MicTrack[] tracks = [.. OfEach(sources, (source, _) => MicTrack.Of(source, sound(source.Clip), grid)).OfType<MicTrack>()];
        float[][] presence = OfEach(tracks, (track, _) => SpeechPresence.Of(track));
        int[] ranking = Ranking(tracks, presence);

        var matches = MicMatches.Of(tracks, presence);
        WindDetector.Rumble[] rumbles = OfEach(tracks, (track, mic) => WindDetector.Of(track, presence[mic]));
        OwnFaults[] alone = OfEach(tracks, (track, _) => OwnFaults.Of(track));
        RustleDetector.Handling[] handling = RustleDetector.Find(
            tracks, matches,
            [.. tracks.Select((track, mic) => alone[mic].Hissing(track.Count))],
            [.. tracks.Select((track, mic) => alone[mic].Lost(track.Count))]);
        MicFaults[] faults = OfEach(tracks, (track, mic) => MicFaults.Of(
            track, alone[mic], rumbles[mic],
            WindDetector.Find(rumbles[mic], [.. Others(tracks, mic).Select(other => rumbles[other])]), handling[mic],
            [.. matches.OthersOf(mic).Select(other => (tracks[other], matches.Between(mic, other)!))]));

        int[] trusted = TrustedAt(grid, tracks, faults, ranking);
        float[] joint = SpeechPresence.Joint(tracks, presence, trusted);
        faults = OfEach(tracks, (track, mic) =>
        {
            float[] elsewhere = SpeechPresence.Joint(tracks, presence, HeardElsewhere(grid, tracks, faults, ranking, mic));
            List<(int First, int End)> ridden = PumpingDetector.Find(tracks, faults, elsewhere, mic);
            return faults[mic].Ridden(track, ridden, wind => PumpingDetector.IsOnlyGain(track, elsewhere, wind));
        });
        MicLevels[] levels = OfEach(tracks, (track, mic) => MicLevels.Of(track, joint, faults[mic].Faulty));
        var believed = trusted.ToHashSet(); // speech is carried from these mics only
        float[][] ratios = OfEach(tracks, (track, mic) => SpeechToNoise.Of(
            mic, track, levels, trusted,
            [
                .. tracks.Select((to, other) => believed.Contains(other)
                    ? SpeechMatch.HalfDb(track, faults[mic], to, faults[other], joint, matches.Between(mic, other))
                    : null),
            ]));
        return new TakeMics(take.CommonRange, grid, tracks, faults, trusted, joint, SpeechPresence.Audible(tracks, joint, trusted), ratios);
    }

    /// <summary>A result for each, in order; the work is shared among the cores.</summary>
    private static TResult[] OfEach<T, TResult>(T[] items, Func<T, int, TResult> of)
    {
        var results = new TResult[items.Length];
        Parallel.For(0, items.Length, i => results[i] = of(items[i], i));
        return results;
    }

    private static IEnumerable<int> Others(MicTrack[] tracks, int mic) =>
        Enumerable.Range(0, tracks.Length).Where(other =>
            other != mic && tracks[other].First < tracks[mic].End && tracks[other].End > tracks[mic].First);

    /// <summary>Mics from the one in which speech stands clearest over the take to the least clear.</summary>
    private static int[] Ranking(MicTrack[] tracks, float[][] presence)
    {
        return [.. Enumerable.Range(0, tracks.Length).OrderByDescending(Clearness)];

        double Clearness(int mic)
        {
            double sum = 0;
            int count = 0;
            for (int i = 0; i < tracks[mic].Count; i += 5)
            {
                if (presence[mic][i] > 0.6f)
                {
                    sum += SpeechToNoise.Own(tracks[mic], tracks[mic].First + i);
                    count++;
                }
            }

            return (count == 0 ? SpeechToNoise.LowestDb : sum / count)
                - MicPreference.PriceDb(tracks[mic].Source.Mic.Role);
        }
    }

    /// <summary>As <see cref="TrustedAt"/> without one mic, and that mic where no other rolls.</summary>
    private static int[] HeardElsewhere(TakeGrid grid, MicTrack[] tracks, MicFaults[] faults, int[] ranking, int mic)
    {
        int[] heard = TrustedAt(grid, tracks, faults, [.. ranking.Where(other => other != mic)]);
        for (int step = tracks[mic].First; step < tracks[mic].End; step++)
        {
            heard[step] = heard[step] < 0 ? mic : heard[step];
        }

        return heard;
    }

    /// <summary>The clearest mic that rolls and has no fault; where all have, the clearest that rolls.</summary>
    private static int[] TrustedAt(TakeGrid grid, MicTrack[] tracks, MicFaults[] faults, int[] ranking)
    {
        var trusted = new int[grid.Steps];
        Array.Fill(trusted, -1);
        foreach (bool evenFaulty in (bool[])[false, true])
        {
            foreach (int mic in ranking)
            {
                for (int step = tracks[mic].First; step < tracks[mic].End; step++)
                {
                    if (trusted[step] < 0 && (evenFaulty || !faults[mic].Faulty[step - tracks[mic].First]))
                    {
                        trusted[step] = mic;
                    }
                }
            }
        }

        return trusted;
    }
}
