using SyncBench.Signal;

namespace SyncBench.Selection;

/// <summary>Finds where an automatic gain rides a mic: in each pause the room's noise comes up, and the next word pushes it down again.</summary>
/// <remarks>
/// Such a gain shows in pauses only, so what is found begins and ends in the middle of the speech between two of them. Two things show
/// it. The noise rises in a pause; how sure that is grows with its length: the odds are those of a rise at a usual speed (common
/// practice: several decibels a second) against none. And the noise is louder in a pause than in the gaps between the words before and
/// after it, which no room's is; that shows even where it has come up before the echo is gone. What every other mic hears too is the
/// room's. The likeliest course through all pauses counts (Viterbi, two states).
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

    /// <summary>What scatters by more about a straight line is no noise.</summary>
    private const double NoiseDb = 1.8;

    /// <summary>A slam of a door is one pause; it takes several.</summary>
    private const double MostForIt = 3;
    private const double MostAgainstIt = 5;
    private const double PriceOfChange = 2.5;
    private const int FewestPauses = 2;

    /// <summary>Steps before and after a pause in whose speech the gaps are sought, and how few of them say nothing.</summary>
    private const int Beside = 250;
    private const int FewestSteps = 30;

    /// <summary>In the gaps a level is as low as it is for this share of the time.</summary>
    private const double Gaps = 0.05;

    /// <summary>Over the gaps the noise of a pause is rarely louder than this; odds for each decibel from there on, and against it.</summary>
    private const double OverGapsDb = 0.4;
    private const double OddsPerDb = 4;
    private const double GapsAgainstIt = 1;

    /// <summary>Beyond this it has come up already, so that it rises no more speaks against nothing.</summary>
    private const double UpDb = 0.75;

    /// <summary>Wind raises the rumble by more than this over the middle bands.</summary>
    private const double WindDb = 6;

    /// <returns>In steps of the grid, end exclusive.</returns>
    /// <param name="joint">Probability of speech as the other mics hear it, one a step of the grid.</param>
    internal static List<(int First, int End)> Find(MicTrack[] tracks, MicFaults[] faults, float[] joint, int mic)
    {
        MicTrack track = tracks[mic];
        var pausing = new bool[joint.Length];
        (int First, int End)[] silent = [.. Pauses(joint, track)];
        FaultSpans.Mark(pausing, silent.Select(pause => (pause.First, pause.End + Ahead)), margin: 0);
        (int First, int End)[] pauses = [.. silent.Where(pause => !IsSpoilt(faults[mic], pause))];
        bool[] ridden = Likeliest([.. pauses.Select(Odds)]);
        return
        [
            .. FaultSpans.Runs(ridden).Where(run => run.End - run.First >= FewestPauses).Select(run => (
                Middle(run.First == 0 ? track.First : pauses[run.First - 1].End, pauses[run.First].First),
                Middle(pauses[run.End - 1].End, run.End == pauses.Length ? track.End : pauses[run.End].First))),
        ];

        static int Middle(int from, int to) => (from + to) / 2;

        double Odds((int First, int End) pause)
        {
            var own = Course.Of(track, pause);
            if (own.ScatterDb > NoiseDb)
            {
                return 0;
            }

            (double RiseDb, double OverDb)[] others =
            [
                .. Enumerable.Range(0, tracks.Length)
                    .Where(other => other != mic && tracks[other].Rolls(pause.First) && tracks[other].Rolls(pause.End - 1))
                    .Select(other => (Other: other, Course: Course.Of(tracks[other], pause)))
                    .Select(heard => (heard.Course.RiseDb, OverGaps(heard.Other, heard.Course))),
            ];
            double rise = OddsOfRise(pause, own.RiseDb - OfAll(others.Select(other => other.RiseDb)));
            double over = OverGaps(mic, own) - OfAll(others.Select(other => other.OverDb));
            return (over > UpDb ? Math.Max(0, rise) : rise) + Math.Clamp(OddsPerDb * (over - OverGapsDb), -GapsAgainstIt, MostForIt);

            double OverGaps(int heardBy, Course course) =>
                course.MeanDb - GapsDb(tracks[heardBy], faults[heardBy], pausing, pause) is var db && double.IsFinite(db) ? db : 0;

            static double OfAll(IEnumerable<double> others) => Math.Max(0, others.DefaultIfEmpty(0).Min());
        }
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

    /// <summary>How loud the gaps are in the speech before or after a pause, whichever are lower; infinite where there are none.</summary>
    private static double GapsDb(MicTrack track, MicFaults faults, bool[] pausing, (int First, int End) pause)
    {
        return Math.Min(
            Lowest(pause.First - Beside, pause.First - (Behind / 2)), Lowest(pause.End + Ahead, pause.End + Ahead + Beside));

        double Lowest(int from, int to)
        {
            from = Math.Max(from, track.First + 1);
            double[] middle = Steps.Of(Math.Max(0, Math.Min(to, track.End - 1) - from) + 2, i => MiddleDb(track, from - 1 + i));
            float[] spoken =
            [
                .. Enumerable.Range(0, middle.Length - 2)
                    .Where(i => !pausing[from + i] && !faults.Faulty[from + i - track.First])
                    .Select(i => (float)((middle[i] + middle[i + 1] + middle[i + 2]) / 3)),
            ];
            return spoken.Length < FewestSteps ? double.PositiveInfinity : Statistics.Quantile<float>(spoken, Gaps);
        }
    }

    /// <summary>Logarithm of how much likelier a rise is where the gain is ridden; both are taken to be normal.</summary>
    private static double OddsOfRise((int First, int End) pause, double riseDb)
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

    /// <summary>A straight line through the levels of a pause: where its middle lies, by how much it rises, and how the levels scatter about it.</summary>
    private readonly record struct Course(double MeanDb, double RiseDb, double ScatterDb)
    {
        public static Course Of(MicTrack track, (int First, int End) pause)
        {
            double middle = (pause.First + pause.End - 1) / 2.0, product = 0, square = 0, all = 0, allSquared = 0;
            for (int step = pause.First; step < pause.End; step++)
            {
                double db = MiddleDb(track, step);
                all += db;
                allSquared += db * db;
                product += (step - middle) * db;
                square += (step - middle) * (step - middle);
            }

            int steps = pause.End - pause.First;
            double mean = all / steps, left = allSquared - (all * mean) - (product * product / square);
            return new Course(mean, product / square * (steps - 1), Math.Sqrt(Math.Max(0, left) / steps));
        }
    }
}
