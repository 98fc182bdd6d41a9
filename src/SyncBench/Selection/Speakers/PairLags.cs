using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Signal;
using SyncBench.Time;

namespace SyncBench.Selection.Speakers;

/// <summary>
/// Order of arrival: a talker's voice reaches the lavalier and a mic elsewhere with a lag that his place decides, some
/// 12 ms apart for subject and interviewer in a usual set-up.
/// </summary>
/// <remarks>
/// Windows of 0.2 s are correlated by the phase transform (<see cref="CrossCorrelator"/>). Where the two talkers' lags lie is
/// read in the means over the hops that their levels give to either; each window then says by which of the two lags it
/// correlates. Single windows are weak evidence in a room, and are weighed by how well they part the hops that are sure.
/// </remarks>
internal sealed class PairLags
{
    /// <summary>Hops in a window, without overlap.</summary>
    public const int HopsInWindow = 4;

    private const int Window = 3200;
    private const int Reach = 400;
    private const int SubjectReach = 80;

    /// <summary>How far a talker's movement can take a window's peak: 0.4 ms are 14 cm of way.</summary>
    private const int Sway = 6;

    /// <summary>Lags closer than 0.6 ms are one place.</summary>
    private const int LeastApart = 10;

    /// <summary>A mean's highest value over its spread; 801 values of noise reach 3.3.</summary>
    private const float LeastQuality = 6;

    /// <summary>Where the levels give so many to one talker and hardly any to another, there is no other.</summary>
    private const int PlentyOfWindows = 20;

    private const float SureOfTalker = 0.9f;
    private const int FewestWindows = 4;
    private const float MostEvidence = 3;

    private PairLags(bool? twoPlaces, float[]? evidence) => (TwoPlaces, Evidence) = (twoPlaces, evidence);

    /// <summary>Whether voices come from two places; null where that is not heard.</summary>
    public bool? TwoPlaces { get; }

    /// <summary>Log-likelihood of the interviewer's place over the subject's, one a hop, 0 where nothing is said; null where there is none.</summary>
    public float[]? Evidence { get; }

    /// <param name="evidence">Who speaks by level, from the same two mics.</param>
    /// <param name="sound">Null for a clip whose samples are not at hand.</param>
    public static PairLags Of(TakeGrid grid, MicLine close, MicLine far, PairEvidence evidence, Func<Clip, SoundStore?> sound)
    {
        var windows = new Windows(grid, close, far, evidence, sound);
        (float[] subject, int subjects) = windows.Mean(share => share > SureOfTalker);
        (float[] interviewer, int interviewers) = windows.Mean(share => share < 1 - SureOfTalker);
        (int near, float nearQuality) = Peak(subject, SubjectReach);
        (int away, float awayQuality) = Peak(interviewer, Reach);
        if (subjects < FewestWindows || nearQuality < LeastQuality)
        {
            return new PairLags(twoPlaces: null, evidence: null);
        }

        if (interviewers < FewestWindows || awayQuality < LeastQuality)
        {
            bool nobodyElse = interviewers < FewestWindows && subjects >= PlentyOfWindows;
            return new PairLags(twoPlaces: nobodyElse ? false : null, evidence: null);
        }

        return Math.Abs(near - away) < LeastApart
            ? new PairLags(twoPlaces: false, evidence: null)
            : new PairLags(twoPlaces: true, Weighed(windows, evidence, near, away));
    }

    /// <summary>Place of the highest value near the middle, and how far it stands out.</summary>
    private static (int At, float Quality) Peak(float[] mean, int reach)
    {
        int from = (mean.Length / 2) - reach;
        int highest = from;
        for (int i = from; i <= from + (2 * reach); i++)
        {
            highest = mean[i] > mean[highest] ? i : highest;
        }

        (float middle, float spread) = Statistics.MedianAndSpread<float>([.. mean]);
        return (highest, (mean[highest] - middle) / Math.Max(spread, 1e-9f));
    }

    private static float[] Weighed(Windows windows, PairEvidence levels, int near, int away)
    {
        var measured = new List<(int Hop, float Value, float Share)>();
        windows.Visit(_ => true, (hop, share, row) => measured.Add((hop, Highest(row, away) - Highest(row, near), share)));
        float[] subject = [.. measured.Where(window => window.Share > SureOfTalker).Select(window => window.Value)];
        float[] interviewer = [.. measured.Where(window => window.Share < 1 - SureOfTalker).Select(window => window.Value)];
        (float low, float ofSubject) = Statistics.MedianAndSpread<float>(subject);
        (float high, float ofInterviewer) = Statistics.MedianAndSpread<float>(interviewer);
        float spread = Math.Max(1e-4f, Math.Max(ofSubject, ofInterviewer));
        var evidence = new float[levels.Subject.Length];
        foreach ((int hop, float value, _) in measured)
        {
            float odds = (value - ((low + high) / 2)) * Math.Max(0, high - low) / (spread * spread);
            Array.Fill(
                evidence, Math.Clamp(odds, -MostEvidence, MostEvidence), hop, Math.Min(HopsInWindow, evidence.Length - hop));
        }

        return evidence;
    }

    private static float Highest(float[] row, int at)
    {
        float highest = float.MinValue;
        for (int i = Math.Max(0, at - Sway); i <= Math.Min(row.Length - 1, at + Sway); i++)
        {
            highest = Math.Max(highest, row[i]);
        }

        return highest;
    }

    /// <summary>The windows of a pair in which somebody speaks.</summary>
    private sealed class Windows(TakeGrid grid, MicLine close, MicLine far, PairEvidence levels, Func<Clip, SoundStore?> sound)
    {
        /// <summary>Mean excess over the noise that is worth a transform.</summary>
        private const float Heard = 3;

        private const int MostInMean = 300;

        private readonly CrossCorrelator _correlator = new(4096, SoundTrack.SamplesPerSecond, 200, 7500);
        private readonly float[] _reference = new float[Window + (2 * Reach)];
        private readonly float[] _query = new float[Window];
        private readonly float[] _taper = Signal.Window.Hann(Window);

        /// <summary>The mean row of the windows whose share counts, spread over the take, and how many they are.</summary>
        public (float[] Row, int Count) Mean(Predicate<float> counts)
        {
            int all = 0;
            for (int hop = 0; hop + HopsInWindow <= levels.Subject.Length; hop += HopsInWindow)
            {
                all += Share(hop) is { } share && counts(share) ? 1 : 0;
            }

            int every = Math.Max(1, all / MostInMean), seen = 0, taken = 0;
            var mean = new float[(2 * Reach) + 1];
            Visit(share => counts(share) && seen++ % every == 0, (_, _, row) =>
            {
                taken++;
                for (int i = 0; i < mean.Length; i++)
                {
                    mean[i] += row[i];
                }
            });
            return (mean, taken);
        }

        public void Visit(Predicate<float> counts, Action<int, float, float[]> visit)
        {
            var row = new float[(2 * Reach) + 1];
            for (int hop = 0; hop + HopsInWindow <= levels.Subject.Length; hop += HopsInWindow)
            {
                if (Share(hop) is { } share && counts(share) && Correlate(hop, row))
                {
                    visit(hop, share, row);
                }
            }
        }

        /// <summary>The subject's mean share in a window; null where it is not heard by both mics, or nobody speaks.</summary>
        private float? Share(int hop)
        {
            float heard = 0, share = 0;
            int told = 0;
            for (int i = hop; i < hop + HopsInWindow; i++)
            {
                heard += levels.Subject[i] + levels.Interviewer[i];
                if (!float.IsNaN(levels.SubjectShare[i]))
                {
                    share += levels.SubjectShare[i];
                    told++;
                }
            }

            return heard >= HopsInWindow * Heard && told > 0 ? share / told : null;
        }

        private bool Correlate(int hop, float[] row)
        {
            int step = Math.Min(grid.Steps - 1, hop * PairLevels.StepsInHop);
            if (close.FitAt(step)?.Source is not { } left || far.FitAt(step)?.Source is not { } right
                || sound(left.Clip) is not { } near || sound(right.Clip) is not { } away)
            {
                return false;
            }

            MediaTime start = grid.At(step);
            double reference = Samples(left, start), query = Samples(right, start);
            near.Read(left.Mic.Channel, (long)Math.Floor(reference) - Reach, _reference);
            away.Read(right.Mic.Channel, (long)Math.Floor(query), _query);
            for (int i = 0; i < _query.Length; i++)
            {
                _query[i] *= _taper[i];
            }

            if (!_correlator.Load(_reference, _query))
            {
                return false;
            }

            _correlator.Row(1, Reach + (reference - Math.Floor(reference)) - (query - Math.Floor(query)), row);
            return true;
        }

        private static double Samples(MicSource source, MediaTime onCommon) =>
            source.Placement.ToMicTime(source.Mic, onCommon).ToSeconds() * SoundTrack.SamplesPerSecond;
    }
}
