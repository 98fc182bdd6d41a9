namespace SyncBench.Alignment;

/// <summary>Places at which clocks say that a query lies in a reference.</summary>
/// <param name="LagsSeconds">Of the query's time zero.</param>
/// <param name="ReachSeconds">How far off each lag the true one may lie.</param>
internal sealed record ClockPrior(double[] LagsSeconds, double ReachSeconds);

/// <summary>
/// What the clocks of two clips say of how they lie together. Where it is asked, it is asked beside the search of the
/// whole reference, never instead of it, unless it answers beyond doubt.
/// </summary>
/// <remarks>
/// The looks share one allowance of false alarms by shares fixed beforehand (weighted Bonferroni): each may be wrong
/// with its share of the probability, so a look of share w pays −ln w. Where no clip has a clock nothing is paid.
/// </remarks>
internal sealed class ClockPriors(IReadOnlyList<ClipTracks?> tracks, int[] deviceOfClip)
{
    /// <summary>Two frames at 25: generators that were set to each other in the morning, cameras that number a frame late.</summary>
    private const double SetAlikeSeconds = 0.08;

    /// <summary>A device that was never set drifts against itself over the day.</summary>
    private const double SameDeviceSeconds = 0.25;

    /// <summary>Whole seconds, written at the start or when the file is opened.</summary>
    private const double FileTimeSeconds = 1.6;

    private const double SteepestPpm = 100;
    private const double LeastOverlapSeconds = 0.7;

    private readonly bool _anyTimecode = Shared(tracks, deviceOfClip, clip => clip.Timecode is not null);
    private readonly bool _anyFileTime = Shared(tracks, deviceOfClip, clip => clip.Clip.Media.CreatedAt is not null);

    private bool MayLearn => _anyTimecode || _anyFileTime;

    /// <summary>What a search of the whole reference pays for the looks beside it.</summary>
    internal double LogOfWholeSearch => -Math.Log(1 - (_anyTimecode ? 0.4 : 0) - (MayLearn ? 0.1 : 0));

    internal static double LogOfTimecode => -Math.Log(0.4);

    internal static double LogOfLearned => -Math.Log(0.1);

    /// <summary>Where the timecodes of both say that they overlap.</summary>
    internal ClockPrior? ByTimecode((int Reference, int Query) pair) =>
        Heard(pair.Reference).Timecode is { } reference && Heard(pair.Query).Timecode is { } query
            ? Prior(pair, [.. ClockDifference.Readings(query, reference).Select(lag => lag.ToSeconds())], SetAlikeSeconds)
            : null;

    /// <summary>Where clips of both devices that were found already say that these lie, by timecode or by file time.</summary>
    internal ClockPrior? Learned((int Reference, int Query) pair, IReadOnlyList<PairMatch> sure)
    {
        double[] timecode = Offsets(pair, sure, TimecodeLag), fileTime = Offsets(pair, sure, FileTimeLag);
        if (timecode.Length > 0 && TimecodeLag(pair) is { } byTimecode)
        {
            return Prior(pair, [byTimecode + MathNet.Numerics.Statistics.Statistics.Median(timecode)], SameDeviceSeconds);
        }

        return fileTime.Length > 0 && FileTimeLag(pair) is { } byFileTime
            ? Prior(pair, [byFileTime + MathNet.Numerics.Statistics.Statistics.Median(fileTime)], FileTimeSeconds)
            : null;
    }

    private static bool Shared(IReadOnlyList<ClipTracks?> tracks, int[] deviceOfClip, Func<HeardClip, bool> has) =>
        Enumerable.Range(0, tracks.Count)
            .Where(clip => tracks[clip] is { } track && has(track.Clearest.Clip))
            .Select(clip => deviceOfClip[clip])
            .Distinct()
            .Take(2)
            .Count() == 2;

    private HeardClip Heard(int clip) => tracks[clip]!.Clearest.Clip;

    /// <summary>What sound said less what the clocks said, of the matches between the same two devices.</summary>
    private double[] Offsets(
        (int Reference, int Query) pair, IReadOnlyList<PairMatch> sure, Func<(int Reference, int Query), double?> clockLag)
    {
        int reference = deviceOfClip[pair.Reference], query = deviceOfClip[pair.Query];
        return
        [
            .. sure
                .Select(match => (
                    Sign: deviceOfClip[match.Reference] == reference && deviceOfClip[match.Query] == query ? 1
                        : deviceOfClip[match.Reference] == query && deviceOfClip[match.Query] == reference ? -1 : 0,
                    Off: match.Lags.Line.At(0) - clockLag((match.Reference, match.Query))))
                .Where(found => found.Sign != 0 && found.Off is not null)
                .Select(found => found.Sign * found.Off!.Value),
        ];
    }

    private double? TimecodeLag((int Reference, int Query) pair) =>
        Heard(pair.Reference).Timecode is { } reference && Heard(pair.Query).Timecode is { } query
            ? ClockDifference.Readings(query, reference).First().ToSeconds()
            : null;

    private double? FileTimeLag((int Reference, int Query) pair) =>
        Heard(pair.Reference).Clip.Media.CreatedAt is { } reference && Heard(pair.Query).Clip.Media.CreatedAt is { } query
            ? (query - reference).TotalSeconds
            : null;

    /// <summary>Null where the clips do not overlap at any of the lags.</summary>
    private ClockPrior? Prior((int Reference, int Query) pair, double[] lags, double within)
    {
        var sound = new SoundPair(tracks[pair.Reference]!.Clearest, tracks[pair.Query]!.Clearest);
        double[] overlapping = [.. lags.Where(lag => Overlap(sound, lag) >= LeastOverlapSeconds)];
        if (overlapping.Length == 0)
        {
            return null;
        }

        // A line is searched for by its lag in the middle of the overlap, and clocks drift until there.
        (double start, double end) = sound.Overlap(overlapping[0]);
        double reach = within + (SteepestPpm * 1e-6 * (start + end) / 2);
        int steps = (int)Math.Ceiling(reach / LineSearch.ReachSeconds);
        double step = 2 * reach / steps;
        return new ClockPrior(
            [.. overlapping.SelectMany(lag => Enumerable.Range(0, steps).Select(i => lag - reach + ((i + 0.5) * step)))],
            step / 2);
    }

    private static double Overlap(SoundPair sound, double lag)
    {
        (double start, double end) = sound.Overlap(lag);
        return end - start;
    }
}
