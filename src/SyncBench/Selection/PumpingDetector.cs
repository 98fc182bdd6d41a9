namespace SyncBench.Selection;

/// <summary>Finds where an automatic gain rides a mic: in each gap of the voice the mic's noise comes up, and the next word pushes it down again.</summary>
/// <remarks>
/// A voice hides it, so it begins and ends with the first and the last gap in which the noise is heard to stand higher. What shows it:
/// the noise stands above its usual by as much in all bands, which no voice and no echo do; in its gaps it comes up at several decibels
/// a second (common practice), which noise that sets in does not; and no other mic hears it, for then it is the room's. The likeliest
/// course counts (Viterbi, two states).
/// </remarks>
internal static class PumpingDetector
{
    /// <summary>Gaps of the voice, and, of these, pauses in which there is nothing but noise.</summary>
    private const float Gap = 0.5f;
    private const float Silent = 0.15f;

    /// <summary>Echo behind a word and the word ahead are left out of a pause, in steps.</summary>
    private const int Behind = 20;
    private const int Ahead = 8;
    private const int ShortestPause = 10;

    /// <summary>The usual noise is that of the softest of the pauses near by.</summary>
    private const int PausesNear = 12;
    private const int UsualPauses = 4;

    /// <summary>Wind raises the rumble by more than this over the middle bands.</summary>
    private const double WindDb = 6;

    /// <returns>In steps of the grid, end exclusive.</returns>
    /// <param name="joint">Probability of speech as the other mics hear it, one a step of the grid.</param>
    internal static List<(int First, int End)> Find(MicTrack[] tracks, MicFaults[] faults, float[] joint, int mic)
    {
        MicTrack track = tracks[mic];
        bool[] spoilt = Spoilt(track, faults[mic]);
        (int First, int End, double Db)[] pauses =
        [
            .. Pauses(joint, track)
                .Where(pause => !spoilt.AsSpan(pause.First - track.First, pause.End - pause.First).Contains(true))
                .Select(pause => (pause.First, pause.End, Enumerable.Range(pause.First, pause.End - pause.First).Average(step => RaisedNoise.LevelDb(track, step)))),
        ];
        if (pauses.Length == 0)
        {
            return [];
        }

        var gaps = new VoiceGaps(track.Count);
        foreach ((int first, int end) in FaultSpans.Runs(Steps.Of(track.Count, i => joint[track.First + i] < Gap && !spoilt[i])))
        {
            (int from, int to) = (track.First + first, track.First + end);
            (int First, int End)[] usual = Usual(pauses, from);
            float[] elsewhereDb = LeastDb([.. Others(from, to).Select(other => RaisedNoise.Of(tracks[other], usual, from, to))], to - from);
            gaps.Add(first, RaisedNoise.Of(track, usual, from, to), elsewhereDb);
        }

        return [.. gaps.Ridden().Select(ridden => (track.First + ridden.First, track.First + ridden.End))];

        IEnumerable<int> Others(int from, int to) =>
            Enumerable.Range(0, tracks.Length).Where(other => other != mic && tracks[other].Rolls(from) && tracks[other].Rolls(to - 1));
    }

    /// <summary>Whether wind that was found is rumble that a gain has brought up, for in the pauses it stands no higher above the rest than usual.</summary>
    internal static bool IsOnlyGain(MicTrack track, float[] joint, (int First, int End) wind)
    {
        (double Sum, int Count) usual = (0, 0), here = (0, 0);
        foreach ((int first, int end) in Pauses(joint, track))
        {
            for (int step = first; step < end; step++)
            {
                double aboveDb = (track.Levels(step)[0] / 2.0) - RaisedNoise.LevelDb(track, step);
                usual = (usual.Sum + aboveDb, usual.Count + 1);
                here = step >= wind.First && step < wind.End ? (here.Sum + aboveDb, here.Count + 1) : here;
            }
        }

        return here.Count >= ShortestPause && (here.Sum / here.Count) - (usual.Sum / usual.Count) < WindDb;
    }

    /// <summary>Steps of the mic with a fault that begins and ends of itself; wind, knocks and hiss are what a gain's doing may be taken for.</summary>
    private static bool[] Spoilt(MicTrack track, MicFaults faults)
    {
        var spoilt = new bool[track.Count];
        FaultSpans.Mark(
            spoilt,
            faults.Spans.Where(span => span.Kind is not (FaultKind.Wind or FaultKind.Knock or FaultKind.Hiss)).Select(span => (span.First - track.First, span.End - track.First)),
            margin: 0);
        return spoilt;
    }

    private static IEnumerable<(int First, int End)> Pauses(float[] joint, MicTrack track) =>
        FaultSpans.Runs([.. Enumerable.Range(track.First, track.Count).Select(step => joint[step] < Silent)])
            .Select(run => (First: track.First + run.First + Behind, End: track.First + run.End - Ahead))
            .Where(pause => pause.End - pause.First >= ShortestPause);

    /// <summary>The softest of the pauses about a step: in some of them a gain may have come up.</summary>
    private static (int First, int End)[] Usual((int First, int End, double Db)[] pauses, int step)
    {
        int nearest = Array.FindIndex(pauses, pause => pause.First >= step);
        int first = Math.Clamp((nearest < 0 ? pauses.Length : nearest) - (PausesNear / 2), 0, Math.Max(0, pauses.Length - PausesNear));
        return [.. pauses.Skip(first).Take(PausesNear).OrderBy(pause => pause.Db).Take(UsualPauses).Select(pause => (pause.First, pause.End))];
    }

    /// <summary>What every other mic hears is the room's.</summary>
    private static float[] LeastDb(RaisedNoise[] others, int steps) =>
        Steps.Of(steps, i => others.Length == 0 ? 0 : Math.Max(0, others.Min(other => other.Db[i])));
}
