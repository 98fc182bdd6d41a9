namespace SyncBench.Selection;

/// <summary>Finds where an automatic gain rides a mic: in each pause the room's noise comes up, and the next word pushes it down again.</summary>
/// <remarks>
/// Such a gain shows in pauses only, so what is found begins and ends in the middle of the speech between two of them. A rise that every
/// other mic hears too is the room's. How sure a pause is grows with its length: the odds are those of a rise at a usual speed (common
/// practice: several decibels a second) against none, and the likeliest course through all pauses counts (Viterbi, two states).
/// </remarks>
internal static class PumpingDetector
{
    private const int FirstBand = 5; // 250 Hz
    private const int EndBand = 19; // up to 5.6 kHz

    private const float Silent = 0.15f;

    /// <summary>Echo behind a word and the word ahead are left out, in steps.</summary>
    private const int Behind = 20;
    private const int Ahead = 8;
    private const int ShortestPause = 10;

    /// <summary>Of the gain while it comes up, and by how much it comes up at most.</summary>
    private const double UsualDbPerStep = 0.04;
    private const double UsualDb = 3;

    /// <summary>A single step's level, of a noise that does not change, averaged over the bands.</summary>
    private const double StepDb = 0.9;

    /// <summary>Rooms are never quite still.</summary>
    private const double RestlessDb = 0.6;

    /// <summary>A slam of a door is one pause; it takes several.</summary>
    private const double MostForIt = 3;
    private const double MostAgainstIt = 5;
    private const double PriceOfChange = 3.5;
    private const int FewestPauses = 3;

    /// <summary>Pauses to either side whose level tells how low the noise lies where no gain has brought it up.</summary>
    private const int Near = 8;
    private const double UpDb = 3;

    /// <summary>Wind raises the rumble by more than this over the middle bands.</summary>
    private const double WindDb = 6;

    /// <returns>In steps of the grid, end exclusive.</returns>
    /// <param name="joint">Probability of speech as the other mics hear it, one a step of the grid.</param>
    internal static List<(int First, int End)> Find(MicTrack[] tracks, MicFaults faults, float[] joint, int mic)
    {
        MicTrack track = tracks[mic];
        (int First, int End)[] pauses = [.. Pauses(joint, track).Where(pause => !IsSpoilt(faults, pause))];
        Course[] courses = [.. pauses.Select(pause => Course.Of(track, pause))];
        double[] odds = [.. pauses.Select((pause, i) =>
        {
            double forIt = Odds(pause, courses[i].RiseDb - OfTheRoomDb(tracks, mic, pause));
            return IsUpAlready(courses, i) ? Math.Max(0, forIt) : forIt;
        })];
        bool[] ridden = Likeliest(odds);
        return
        [
            .. FaultSpans.Runs(ridden).Where(run => run.End - run.First >= FewestPauses).Select(run => (
                Middle(run.First == 0 ? track.First : pauses[run.First - 1].End, pauses[run.First].First),
                Middle(pauses[run.End - 1].End, run.End == pauses.Length ? track.End : pauses[run.End].First))),
        ];

        static int Middle(int from, int to) => (from + to) / 2;
    }

    /// <summary>Whether wind that was found is rumble that a gain has brought up, for in the pauses it stands no higher above the rest than usual.</summary>
    internal static bool IsOnlyGain(MicTrack track, float[] joint, (int First, int End) wind)
    {
        (double Sum, int Count) usual = (0, 0), here = (0, 0);
        foreach ((int first, int end) in Pauses(joint, track))
        {
            for (int step = first; step < end; step++)
            {
                double aboveDb = (track.Levels(step)[0] / 2.0) - MiddleDb(track, step);
                usual = (usual.Sum + aboveDb, usual.Count + 1);
                here = step >= wind.First && step < wind.End ? (here.Sum + aboveDb, here.Count + 1) : here;
            }
        }

        return here.Count >= ShortestPause && (here.Sum / here.Count) - (usual.Sum / usual.Count) < WindDb;
    }

    /// <summary>By a fault that begins and ends of itself; wind and knocks are what a gain's doing may be taken for.</summary>
    private static bool IsSpoilt(MicFaults faults, (int First, int End) pause) => faults.Spans.Exists(span =>
        span.Kind is not (FaultKind.Wind or FaultKind.Knock) && span.First < pause.End && span.End > pause.First);

    /// <summary>Mean level of the middle bands.</summary>
    private static double MiddleDb(MicTrack track, int step)
    {
        double sum = 0;
        foreach (byte level in track.Levels(step)[FirstBand..EndBand])
        {
            sum += level;
        }

        return sum / (2 * (EndBand - FirstBand));
    }

    private static IEnumerable<(int First, int End)> Pauses(float[] joint, MicTrack track) =>
        FaultSpans.Runs([.. Enumerable.Range(track.First, track.Count).Select(step => joint[step] < Silent)])
            .Select(run => (First: track.First + run.First + Behind, End: track.First + run.End - Ahead))
            .Where(pause => pause.End - pause.First >= ShortestPause);

    /// <summary>A gain that has come up before the echo is gone rises no more: such a pause speaks against nothing.</summary>
    private static bool IsUpAlready(Course[] courses, int pause)
    {
        int from = Math.Max(0, pause - Near), to = Math.Min(courses.Length, pause + Near + 1);
        return courses[pause].StartDb - courses[from..to].Min(course => course.StartDb) > UpDb;
    }

    private static double OfTheRoomDb(MicTrack[] tracks, int mic, (int First, int End) pause) => Math.Max(0, tracks
        .Where((other, i) => i != mic && other.Rolls(pause.First) && other.Rolls(pause.End - 1))
        .Select(other => Course.Of(other, pause).RiseDb).DefaultIfEmpty(0).Min());

    /// <summary>Logarithm of how much likelier a rise is where the gain is ridden; both are taken to be normal.</summary>
    private static double Odds((int First, int End) pause, double riseDb)
    {
        int steps = pause.End - pause.First;
        double usual = Math.Min(UsualDb, UsualDbPerStep * steps);
        double variance = (RestlessDb * RestlessDb) + (12 * StepDb * StepDb / steps); // of a slope over n steps, times n
        return Math.Clamp(usual * (riseDb - (usual / 2)) / variance, -MostAgainstIt, MostForIt);
    }

    private static bool[] Likeliest(double[] odds)
    {
        var cameFrom = new (bool Off, bool On)[odds.Length];
        (double off, double on) = (0, -PriceOfChange);
        for (int i = 0; i < odds.Length; i++)
        {
            cameFrom[i] = (on - PriceOfChange > off, on >= off - PriceOfChange);
            (off, on) = (Math.Max(off, on - PriceOfChange), Math.Max(on, off - PriceOfChange) + odds[i]);
        }

        var ridden = new bool[odds.Length];
        bool state = on - PriceOfChange > off;
        for (int i = odds.Length - 1; i >= 0; i--)
        {
            ridden[i] = state;
            state = state ? cameFrom[i].On : cameFrom[i].Off;
        }

        return ridden;
    }

    /// <summary>A straight line through the levels of a pause: where it begins and by how much it rises.</summary>
    private readonly record struct Course(double StartDb, double RiseDb)
    {
        public static Course Of(MicTrack track, (int First, int End) pause)
        {
            double middle = (pause.First + pause.End - 1) / 2.0, product = 0, square = 0, all = 0;
            for (int step = pause.First; step < pause.End; step++)
            {
                double db = MiddleDb(track, step);
                all += db;
                product += (step - middle) * db;
                square += (step - middle) * (step - middle);
            }

            int steps = pause.End - pause.First;
            double rise = product / square * (steps - 1);
            return new Course((all / steps) - (rise / 2), rise);
        }
    }
}
