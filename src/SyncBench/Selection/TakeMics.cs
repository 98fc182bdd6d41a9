using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>Everything known of the mics of a take before one is chosen; arrays of mics share one order.</summary>
/// <param name="Joint">Probability that somebody speaks, one a step of the grid: as the mic hears it that is clearest there.</param>
/// <param name="Audible">The same, and 1 where a cut would be heard though nothing is understood.</param>
/// <param name="Far">As <see cref="Voices.Far"/>.</param>
/// <param name="Ratios">Speech to noise in dB, [mic][step of the mic].</param>
internal sealed record TakeMics(
    TimeRange Take, TakeGrid Grid, MicTrack[] Tracks, MicFaults[] Faults, float[] Joint, float[] Audible, bool[] Far, float[][] Ratios)
{
    /// <summary>Lavaliers first, then shotguns, then the cameras' own; within a role in the take's order.</summary>
    public static TakeMics Of(Take take, Func<Clip, ClipSound> sound)
    {
        TakeGrid grid = TakeGrid.Over(take.CommonRange);
        MicSource[] sources = [.. take.Placements
            .SelectMany(placement => placement.Clip.SpeechMics.Select(mic => new MicSource(placement, mic)))
            .OrderBy(source => source.Mic.Role)];
        MicTrack[] tracks = [.. sources.AsParallel().AsOrdered().Select(source => MicTrack.Of(source, sound(source.Clip), grid)).OfType<MicTrack>()];
        float[][] presence = OfEach(tracks, (track, _) => SpeechPresence.Of(track));
        int[] ranking = Ranking(tracks, presence);

        MicFaults[] faults = FaultsOf(tracks, MicMatches.Of(tracks, presence));

        // Cloth makes a lavalier loud, so it looks as if a second talker were near it: voices are compared where no mic is unfit.
        MicMatches matches = MatchesOf(tracks, presence, faults);
        int[] trusted = TrustedAt(grid, tracks, faults, ranking);
        float[] joint = SpeechPresence.Joint(tracks, presence, trusted);
        faults = Ridden(grid, tracks, presence, ranking, faults);
        var voices = Voices.Of(grid, tracks, matches);
        float[][] ratios = RatiosOf(tracks, faults, matches, trusted, joint, voices);
        int[] clearest = ClearestAt(tracks, faults, ratios, trusted);
        joint = SpeechPresence.JointAboveSteadyNoise(tracks, clearest);
        float[] audible = SpeechPresence.Audible(tracks, joint, clearest);
        return new TakeMics(take.CommonRange, grid, tracks, faults, joint, audible, voices.Far, ratios);
    }

    /// <summary>A result for each mic, in order; the work is shared among the cores.</summary>
    public T[] OfEach<T>(Func<int, T> of) => OfEach(Tracks, (_, mic) => of(mic));

    private static MicMatches MatchesOf(MicTrack[] tracks, float[][] presence, MicFaults[] faults) => MicMatches.Of(
        tracks, OfEach(tracks, (track, mic) => Steps.Of(track.Count, i => faults[mic].Faulty[i] ? 0 : presence[mic][i])));

    private static MicFaults[] FaultsOf(MicTrack[] tracks, MicMatches matches)
    {
        // One after the other, not together: each needs tens of megabytes for hours of a mic, which are collected in between.
        (List<(int First, int End)> Silences, List<(int First, int End)> Dropouts)[] links = OfEach(tracks, (track, _) => DropoutDetector.Find(track));
        List<(int First, int End)>[] hiss = OneByOne(tracks, (track, _) => HissDetector.Find(track));
        OwnFaults[] alone = OfEach(tracks, (track, mic) => OwnFaults.Of(track, links[mic], hiss[mic]));
        Rumble[] rumbles = OfEach(tracks, (track, _) => Rumble.Of(track));
        Rumble[][] elsewhere = OfEach(tracks, (_, mic) => Others(tracks, mic).Select(other => rumbles[other]).ToArray());
        List<(int First, int End)>[] wind = OfEach(tracks, (_, mic) => WindDetector.Find(rumbles[mic], elsewhere[mic], alone[mic]));
        bool[][] thumps = OfEach(tracks, (_, mic) => rumbles[mic].Thumps(elsewhere[mic]));
        bool[][] lost = OfEach(tracks, (track, mic) => alone[mic].Lost(track.Count));
        Witness[][] others =
        [
            .. tracks.Select((_, mic) => matches.OthersOf(mic)
                .Select(other => new Witness(tracks[other], matches.Between(mic, other)!, lost[other])).ToArray()),
        ];
        bool[][] nearer = OfEach(tracks, (track, mic) => NearerVoice.Of(
            track, [.. others[mic].Select(other => (other.Track, other.Match))]));
        RustleDetector.Handling[] handling = RustleDetector.Find(
            tracks, matches, [.. tracks.Select((track, mic) => alone[mic].Hissing(track.Count))], lost, nearer);
        return OfEach(tracks, (track, mic) => MicFaults.Of(
            track, alone[mic], wind[mic], thumps[mic], handling[mic], nearer[mic], others[mic]));
    }

    private static MicFaults[] Ridden(TakeGrid grid, MicTrack[] tracks, float[][] presence, int[] ranking, MicFaults[] faults) =>
        OneByOne(tracks, (track, mic) =>
        {
            float[] elsewhere = SpeechPresence.Joint(tracks, presence, HeardElsewhere(grid, tracks, faults, ranking, mic));
            List<(int First, int End)> ridden = PumpingDetector.Find(tracks, faults, elsewhere, mic);
            return faults[mic].Ridden(track, ridden, wind => PumpingDetector.IsOnlyGain(track, elsewhere, wind));
        });

    private static float[][] RatiosOf(MicTrack[] tracks, MicFaults[] faults, MicMatches matches, int[] trusted, float[] joint, Voices voices)
    {
        MicLevels[] levels = OneByOne(tracks, (track, mic) => MicLevels.Of(track, joint, faults[mic].Faulty));
        var believed = trusted.ToHashSet(); // speech is carried from these mics only
        return OfEach(tracks, (track, mic) => SpeechToNoise.Of(
            mic, track, levels, trusted, voices.Wearer, [.. Enumerable.Range(0, voices.Wearers).Select(wearer => Matches(mic, wearer))]));

        float[]?[] Matches(int mic, int wearer) =>
        [
            .. tracks.Select((to, other) => believed.Contains(other)
                ? SpeechMatch.HalfDb(tracks[mic], faults[mic], to, faults[other], joint, voices, wearer, matches.Between(mic, other))
                : null),
        ];
    }

    /// <summary>A result for each mic, in order; the work is shared among the cores.</summary>
    private static T[] OfEach<T>(MicTrack[] tracks, Func<MicTrack, int, T> of) => OfEach(tracks, of, Environment.ProcessorCount);

    /// <summary>The same, but hours of mics not at once, where the many lines that each needs on its way would lie there for every core.</summary>
    private static T[] OneByOne<T>(MicTrack[] tracks, Func<MicTrack, int, T> of) =>
        OfEach(tracks, of, tracks.Any(IsLong) ? 1 : Environment.ProcessorCount);

    private static T[] OfEach<T>(MicTrack[] tracks, Func<MicTrack, int, T> of, int atOnce)
    {
        var results = new T[tracks.Length];
        Parallel.For(0, tracks.Length, new ParallelOptions { MaxDegreeOfParallelism = atOnce }, mic =>
        {
            results[mic] = of(tracks[mic], mic);
            if (IsLong(tracks[mic]))
            {
                // Left behind are arrays of megabytes, of which the collector would let hundreds of megabytes lie.
                GC.Collect();
            }
        });
        return results;
    }

    private static bool IsLong(MicTrack track) => track.Count >= BandLevels.StepsOfAnHour;

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

    /// <summary>
    /// The mic without a fault in which speech stands highest above the noise just there; the trusted one where none is without. It knows
    /// best where words end: noise that sets in on the trusted mic hides that.
    /// </summary>
    private static int[] ClearestAt(MicTrack[] tracks, MicFaults[] faults, float[][] ratios, int[] trusted)
    {
        int[] clearest = [.. trusted];
        var highest = new float[trusted.Length];
        Array.Fill(highest, float.NegativeInfinity);
        for (int mic = 0; mic < tracks.Length; mic++)
        {
            for (int i = 0; i < tracks[mic].Count; i++)
            {
                int step = tracks[mic].First + i;
                if (!faults[mic].Faulty[i] && ratios[mic][i] > highest[step])
                {
                    (clearest[step], highest[step]) = (mic, ratios[mic][i]);
                }
            }
        }

        return clearest;
    }
}
