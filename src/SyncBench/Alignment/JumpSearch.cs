using System.Collections.Immutable;
using System.Numerics.Tensors;
using SyncBench.Signal;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>
/// Finds out why a match holds on one side of a moment only: the device may have lost a buffer of sound there, or have
/// written one twice, and its clock jumps.
/// </summary>
/// <remarks>
/// A change of talker looks alike at first, for the interviewer has another lag: so either the talker at the close mic
/// has to be heard on both sides, or the jump has to be longer than any way of sound in a room.
/// Not thread-safe: one instance a thread.
/// </remarks>
internal sealed class JumpSearch(LineSearch search, LagTracker tracker)
{
    /// <summary>e⁻¹⁵: what lies elsewhere has to be a match of its own.</summary>
    private const double Sure = -15;

    /// <summary>Windows on the side that is off; fewer are a pause or a noise.</summary>
    private const int FewestWindows = 5;

    private const double MostOff = 0.25, LeastOn = 0.5;

    /// <summary>Less is within what a talker who leans over makes.</summary>
    private const double ShortestJumpSeconds = 0.002;

    private const double MostPpmApart = 20;

    /// <summary>8.6 m of difference in the way of sound: no talker of an interview has that between two mics.</summary>
    private const double LongestTalkerSeconds = 0.025;

    private const double FineWindow = 0.3, FineStep = 0.05;
    private const int FineReach = 8;

    /// <summary>Hardly any clip jumps, so it is made when the first does.</summary>
    private CrossCorrelator? _fine;

    /// <param name="match">A match; its line holds at least on one side.</param>
    /// <param name="isQuerys">Whether it is the query's clock that is asked for a jump, else the reference's.</param>
    /// <returns>In whole samples of the clip as it is; null where nothing speaks for a jump.</returns>
    internal JumpAt? Find(PairMatch match, bool isQuerys)
    {
        if (Split(match.Lags) is not { } split)
        {
            return null;
        }

        LagLine line = match.Lags.Line;
        (double start, double end) = match.Pair.Overlap(line.LagSeconds);
        SoundPair left = match.Pair with { Part = (start, split.At) }, right = match.Pair with { Part = (split.At, end) };
        (SoundPair on, SoundPair off) = split.IsOffAfter ? (left, right) : (right, left);
        if (search.Find(off, line.At(split.At)) is not { LogChance: < Sure } found
            || tracker.Track(off, found.Line) is not { } side

            // Over a short jump the line of the whole slants from one side to the other; the clock's rate is the same on both.
            || tracker.Track(on, new LagLine(split.At, line.At(split.At), side.Line.Ppm)) is not { } main
            || Math.Abs(main.Line.Ppm - side.Line.Ppm) > MostPpmApart)
        {
            return null;
        }

        (LagLine before, LagLine after) = split.IsOffAfter ? (main.Line, side.Line) : (side.Line, main.Line);
        double at = Moment(match.Pair, before, after, split.At);
        double later = Math.Abs(after.At(at) - before.At(at));
        if (later < ShortestJumpSeconds || (later < LongestTalkerSeconds && !HearsOwnTalker(match.Pair, side)))
        {
            return null;
        }

        SoundTrack jumps = isQuerys ? match.Pair.Query : match.Pair.Reference;
        double whole = isQuerys ? at : at + before.At(at);
        double lost = isQuerys ? after.At(at) - before.At(at) : before.At(at) - after.At(at);
        return new JumpAt(
            Math.Round(jumps.ClipSeconds(whole) * SoundTrack.SamplesPerSecond),
            Math.Round(lost * SoundTrack.SamplesPerSecond));
    }

    /// <summary>The moment that parts windows on the line from windows off it best, where one does.</summary>
    private static (double At, bool IsOffAfter)? Split(TrackedLags lags)
    {
        ImmutableArray<(double Seconds, bool IsOnLine)> windows = lags.Windows;
        int all = windows.Count(window => window.IsOnLine), before = 0;
        (double Contrast, double At, bool IsOffAfter)? best = null;
        for (int i = 1; i <= windows.Length - 1; i++)
        {
            before += windows[i - 1].IsOnLine ? 1 : 0;
            double shareBefore = (double)before / i, shareAfter = (double)(all - before) / (windows.Length - i);
            bool isOffAfter = shareAfter < shareBefore;
            int windowsOff = isOffAfter ? windows.Length - i : i;
            double contrast = Math.Abs(shareBefore - shareAfter) * Math.Sqrt((double)i * (windows.Length - i));
            if (windowsOff >= FewestWindows
                && Math.Min(shareBefore, shareAfter) <= MostOff
                && Math.Max(shareBefore, shareAfter) >= LeastOn
                && !(contrast <= best?.Contrast))
            {
                best = (contrast, (windows[i - 1].Seconds + windows[i].Seconds) / 2, isOffAfter);
            }
        }

        return best is { } split ? (split.At, split.IsOffAfter) : null;
    }

    /// <summary>Whether most windows that carry the line of one side hold the talker who wears the close mic.</summary>
    private static bool HearsOwnTalker(SoundPair pair, TrackedLags side)
    {
        const double Seconds = 2;
        Lag[] carrying = [.. side.Lags.Where((_, i) => side.Counted[i])];
        int own = carrying.Count(lag => pair.CloseLevelDb(lag.QuerySeconds - (Seconds / 2), lag.LagSeconds, Seconds)
            >= pair.LoudCloseLevelDb - SoundPair.FarTalkerDb);
        return pair.Reflections != Reflections.OnBothSides && 2 * own >= carrying.Length;
    }

    /// <summary>
    /// When one line ends to hold and the other begins, to a few hundredths of a second while somebody speaks: short
    /// windows favour the one or the other, and the moment is where their sum turns.
    /// </summary>
    private double Moment(SoundPair pair, LagLine before, LagLine after, double near)
    {
        const double Around = 40;
        _fine ??= new CrossCorrelator(1 << 15, SoundTrack.SamplesPerSecond, 200, 7500);
        var query = new float[(int)(FineWindow * SoundTrack.SamplesPerSecond)];
        double apart = Math.Abs(after.At(near) - before.At(near));
        int reach = (int)(apart * SoundTrack.SamplesPerSecond) + (4 * FineReach);
        var reference = new float[query.Length + (2 * reach)];
        (double Sum, double At) highest = (0, near);
        double sum = 0;
        (double start, double end) = pair.Overlap(before.At(near));
        for (double at = Math.Max(start, near - Around); at + FineWindow <= Math.Min(end, near + Around); at += FineStep)
        {
            double middle = at + (FineWindow / 2), lagBefore = before.At(middle) * SoundTrack.SamplesPerSecond;
            double lagAfter = after.At(middle) * SoundTrack.SamplesPerSecond;
            long first = (long)(at * SoundTrack.SamplesPerSecond), cut = (long)Math.Round((lagBefore + lagAfter) / 2) - reach;
            pair.Query.Read(first, query);
            pair.Reference.Read(first + cut, reference);
            if (_fine.Load(reference, query))
            {
                sum += Height(_fine, lagBefore - cut) - Height(_fine, lagAfter - cut);
            }

            highest = sum > highest.Sum ? (sum, middle) : highest;
        }

        return highest.At;
    }

    private static float Height(CrossCorrelator loaded, double lag)
    {
        Span<float> row = stackalloc float[(2 * FineReach) + 1];
        loaded.Row(0.8f, lag, row);
        return TensorPrimitives.Max<float>(row);
    }
}
