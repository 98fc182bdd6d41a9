using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>
/// Finds out whether two clips share sound and measures how they lie together: coarse lags, the line on which fine
/// windows agree, then the lag all along.
/// </summary>
internal sealed class PairMatcher
{
    /// <summary>Natural logarithm of 0.5: what chance explains as well is no match.</summary>
    private const double WorthTracking = -0.7;

    /// <summary>So unlikely by chance (e⁻³⁰), a coarse lag much weaker than this one need not be tried.</summary>
    private const double BeyondDoubt = -30;

    /// <summary>
    /// e⁻¹⁰: so sure must a line be that nothing but the search has seen. Windows that show their peak one by one are
    /// a witness of their own, and this is the price of doing without it.
    /// </summary>
    private const double SureAlone = -10;

    private const double RivalShare = 0.6;

    /// <summary>Logarithm of the chance of error where a clip fits two places: worth a person's ear, no more.</summary>
    private const double EitherPlace = -0.5;

    private readonly LineSearch _search = new();
    private readonly LagTracker _tracker = new();
    private readonly JumpSearch _jumps;
    private readonly Lazy<RepeatSearch> _repeats = new();

    internal PairMatcher() => _jumps = new JumpSearch(_search, _tracker);

    /// <param name="lagsSeconds">Coarse lags of the query's time zero in the reference, best first, with scores.</param>
    /// <param name="logTried">Logarithm of how many pairs of clips are asked, by which chance grows.</param>
    internal PairMatch? Match(
        (int Index, ClipTracks Tracks) reference,
        (int Index, ClipTracks Tracks) query,
        IReadOnlyList<(double Seconds, double Score)> lagsSeconds,
        double logTried)
    {
        var clearest = new SoundPair(reference.Tracks.Clearest, query.Tracks.Clearest);
        var lines = new List<FoundLine>();
        FoundLine? best = null;
        double bestScore = 0;
        foreach ((double seconds, double score) in lagsSeconds)
        {
            if (best is { LogChance: < BeyondDoubt } && score < 0.7 * bestScore)
            {
                break;
            }

            if (_search.Find(clearest, seconds) is { } found)
            {
                lines.Add(found);
                (best, bestScore) = best?.LogChance <= found.LogChance ? (best, bestScore) : (found, score);
            }
        }

        PairMatch? match = Confirmed(reference, query, best, lagsSeconds.Count, logTried);
        return match is not null
            && (lines.Exists(line => IsRival(line, best!.Value))
                || (match.Lags.IsLineAlone && _repeats.Value.FitsElsewhere(clearest, best!.Value.Line)))
            ? match with { LogChance = Math.Max(match.LogChance, EitherPlace) }
            : match;
    }

    /// <summary>Whether a clip fits elsewhere nearly as well: a loop of music agrees with itself at every bar.</summary>
    private static bool IsRival(FoundLine line, FoundLine best) =>
        Math.Abs(line.Line.At(best.Line.MiddleSeconds) - best.Line.LagSeconds) > RepeatSearch.SamePlaceSeconds
        && line.LogChance < Math.Min(SureAlone, RivalShare * best.LogChance);

    /// <summary>Asks only where clocks say that the query lies.</summary>
    /// <param name="logTried">Logarithm of how many pairs of clips are asked so.</param>
    internal PairMatch? MatchNear(
        (int Index, ClipTracks Tracks) reference, (int Index, ClipTracks Tracks) query, ClockPrior prior, double logTried)
    {
        var clearest = new SoundPair(reference.Tracks.Clearest, query.Tracks.Clearest);
        FoundLine? best = null;
        foreach (double seconds in prior.LagsSeconds)
        {
            if (_search.Find(clearest, seconds, prior.ReachSeconds) is { } found
                && (best is null || found.LogChance < best.Value.LogChance))
            {
                best = found;
            }
        }

        return Confirmed(reference, query, best, prior.LagsSeconds.Length, logTried);
    }

    private PairMatch? Confirmed(
        (int Index, ClipTracks Tracks) reference, (int Index, ClipTracks Tracks) query, FoundLine? best, int lagsTried,
        double logTried)
    {
        double logChance = (best?.LogChance ?? 0) + Math.Log(Math.Max(1, lagsTried)) + logTried;
        if (best is not { } line || logChance > WorthTracking)
        {
            return null;
        }

        var placing = new SoundPair(reference.Tracks.Placing, query.Tracks.Placing);
        TrackedLags? lags = _tracker.Track(placing, line.Line);
        if (lags is not null)
        {
            return new PairMatch(reference.Index, query.Index, placing, lags, logChance);
        }

        var clearest = new SoundPair(reference.Tracks.Clearest, query.Tracks.Clearest);
        lags = _tracker.Track(clearest, line.Line)
            ?? (logChance < SureAlone ? TrackedLags.OfLineAlone(line.Line with { LagSeconds = line.EarliestSeconds }) : null);
        return lags is null ? null : new PairMatch(reference.Index, query.Index, clearest, lags, logChance);
    }

    /// <inheritdoc cref="JumpSearch.Find"/>
    internal JumpAt? Jump(PairMatch match, bool isQuerys) => _jumps.Find(match, isQuerys);

    /// <summary>How much later (positive) a query's channel hears the subject than the given line says.</summary>
    internal double? Delay(SoundPair pair, LagLine line) => -_tracker.MeanLag(pair, line);
}

/// <summary>The channels of a clip by their part in alignment.</summary>
/// <param name="All">One a channel.</param>
/// <param name="Clearest">In which speech moves most: by it the clip is found. Never one that carries timecode.</param>
/// <param name="Placing">
/// By which the clip is placed: the camera's own microphone, which is where the picture is, or the lavalier.
/// </param>
internal sealed record ClipTracks(SoundTrack[] All, SoundTrack Clearest, SoundTrack Placing)
{
    internal ImmutableArray<JumpAt> Jumps => Clearest.Jumps;

    /// <summary>The same clip, read as if its clock had not jumped.</summary>
    internal ClipTracks Mended(IEnumerable<JumpAt> jumps)
    {
        ImmutableArray<JumpAt> inOrder = [.. jumps.OrderBy(jump => jump.At)];
        SoundTrack[] all = [.. All.Select(track => track with { Jumps = inOrder })];
        return new ClipTracks(all, all[Clearest.Channel], all[Placing.Channel]);
    }

    /// <param name="clip">It has a channel that can be heard.</param>
    internal static ClipTracks Of(HeardClip clip)
    {
        SoundTrack[] all =
        [
            .. clip.Bands.Select((levels, channel) => new SoundTrack(clip, channel, SpeechEnvelope.Of(levels))),
        ];
        SoundTrack clearest = all
            .Where(track => clip.Clip.Mics[track.Channel].Role != MicRole.Timecode)
            .MaxBy(track => track.Envelope.Liveliness)!;
        MicRole wanted = clip.Clip.Device.Kind == DeviceKind.Camera ? MicRole.Scratch : MicRole.Lavalier;
        SoundTrack? own = all.FirstOrDefault(
            track => clip.Clip.Mics[track.Channel].Role == wanted && !track.Envelope.IsStill);
        return new ClipTracks(all, clearest, own ?? clearest);
    }
}
