using System.Collections.Concurrent;

namespace SyncBench.Alignment;

/// <summary>
/// Asks all pairs of clips from different devices whether they share sound: first those with a clip of the reference
/// device, then the others, of which pairs whose places are known already are only measured where they overlap.
/// </summary>
internal sealed class PairSearch(ClipTracks?[] tracks, int[] deviceOfClip, int referenceDevice)
{
    /// <summary>e⁻¹⁵: sure enough of a place to look nowhere else.</summary>
    private const double Sure = -15;

    private const double WorthMeasuringSeconds = 4;

    private readonly ConcurrentBag<PairMatcher> _idleMatchers = [];
    private readonly ClockPriors _clocks = new(tracks, deviceOfClip);

    /// <param name="progress">Told the share of pairs that are done.</param>
    internal IReadOnlyList<PairMatch> Run(IProgress<double>? progress, CancellationToken cancellation)
    {
        List<(int Reference, int Query)> withReference = [], others = [];
        for (int a = 0; a < tracks.Length; a++)
        {
            for (int b = a + 1; b < tracks.Length; b++)
            {
                if (tracks[a] is null || tracks[b] is null || deviceOfClip[a] == deviceOfClip[b])
                {
                    continue;
                }

                bool hasReference = deviceOfClip[a] == referenceDevice || deviceOfClip[b] == referenceDevice;
                (hasReference ? withReference : others).Add(LongerFirst(a, b));
            }
        }

        double logTried = Math.Log(Math.Max(1, withReference.Count + others.Count)) + _clocks.LogOfWholeSearch;
        int done = 0, all = withReference.Count + others.Count;
        void Count() => progress?.Report((double)Interlocked.Increment(ref done) / all);
        PairMatch[] first = Ask(withReference, _ => null, logTried, Count, cancellation);
        Dictionary<int, (int Anchor, double LagSeconds)> known = Known(first);
        PairMatch[] second = Ask(others, pair => KnownLags(pair, known), logTried, Count, cancellation);
        PairMatch[] third = AskWhereOthersOfTheDeviceLie(withReference, [.. first, .. second]);
        return [.. first, .. second, .. third];
    }

    /// <summary>Clips that were found say how the clocks of two devices differ, and so where to look for those that were not.</summary>
    private PairMatch[] AskWhereOthersOfTheDeviceLie(List<(int Reference, int Query)> pairs, PairMatch[] matches)
    {
        PairMatch[] sure = [.. matches.Where(match => match.LogChance < Sure)];
        var found = matches.SelectMany(match => (int[])[match.Reference, match.Query]).ToHashSet();
        ((int Reference, int Query) Pair, ClockPrior Prior)[] asked =
        [
            .. pairs
                .Where(pair => !found.Contains(pair.Reference) || !found.Contains(pair.Query))
                .Select(pair => (Pair: pair, Prior: _clocks.Learned(pair, sure)))
                .Where(pair => pair.Prior is not null)
                .Select(pair => (pair.Pair, pair.Prior!)),
        ];
        double logTried = Math.Log(Math.Max(1, asked.Length)) + ClockPriors.LogOfLearned;
        var matcher = new PairMatcher();
        return
        [
            .. asked
                .Select(pair => matcher.MatchNear(
                    (pair.Pair.Reference, tracks[pair.Pair.Reference]!), (pair.Pair.Query, tracks[pair.Pair.Query]!), pair.Prior, logTried))
                .OfType<PairMatch>(),
        ];
    }

    private (int Reference, int Query) LongerFirst(int a, int b) =>
        tracks[a]!.Clearest.Envelope.Steps >= tracks[b]!.Clearest.Envelope.Steps ? (a, b) : (b, a);

    /// <param name="knownLags">Null where the pair has to be searched, else the lags to look at.</param>
    private PairMatch[] Ask(
        List<(int Reference, int Query)> pairs,
        Func<(int Reference, int Query), IReadOnlyList<(double Seconds, double Score)>?> knownLags,
        double logTried,
        Action count,
        CancellationToken cancellation)
    {
        var found = new PairMatch?[pairs.Count];
        ClockPrior?[] priors = [.. pairs.Select(_clocks.ByTimecode)];
        double logTriedNear = Math.Log(Math.Max(1, priors.Count(prior => prior is not null))) + ClockPriors.LogOfTimecode;
        var options = new ParallelOptions
        {
            CancellationToken = cancellation,
            MaxDegreeOfParallelism = Environment.ProcessorCount,
        };
        foreach (IGrouping<int, int> sameReference in Enumerable.Range(0, pairs.Count).GroupBy(i => pairs[i].Reference))
        {
            var coarse = new CoarseMatcher(tracks[sameReference.Key]!.Clearest.Envelope);
            Parallel.ForEach(sameReference, options, i =>
            {
                (int reference, int query) = pairs[i];
                PairMatcher matcher = _idleMatchers.TryTake(out PairMatcher? idle) ? idle : new PairMatcher();
                found[i] = priors[i] is { } prior
                    ? matcher.MatchNear((reference, tracks[reference]!), (query, tracks[query]!), prior, logTriedNear)
                    : null;
                if (found[i] is not { LogChance: < Sure })
                {
                    IReadOnlyList<(double Seconds, double Score)> lags = knownLags(pairs[i])
                        ?? [.. coarse.Find(tracks[query]!.Clearest.Envelope).Select(lag => (lag.LagSteps / SoundTrack.StepsPerSecond, lag.Score))];
                    PairMatch? anywhere = matcher.Match((reference, tracks[reference]!), (query, tracks[query]!), lags, logTried);
                    found[i] = found[i] is { } near && !(anywhere?.LogChance < near.LogChance) ? near : anywhere;
                }

                _idleMatchers.Add(matcher);
                count();
            });
        }

        return [.. found.Where(match => match is not null).Select(match => match!)];
    }

    /// <summary>By clip: the reference device's clip in which it surely lies, and where.</summary>
    private Dictionary<int, (int Anchor, double LagSeconds)> Known(PairMatch[] matches)
    {
        var known = new Dictionary<int, (int, double)>();
        foreach (PairMatch match in matches.Where(m => m.LogChance < Sure).OrderBy(m => m.LogChance))
        {
            bool queryIsAnchor = deviceOfClip[match.Query] == referenceDevice;
            int anchor = queryIsAnchor ? match.Query : match.Reference;
            double lag = match.Lags.Line.LagSeconds;
            known.TryAdd(match.Other(anchor), (anchor, queryIsAnchor ? -lag : lag));
        }

        return known;
    }

    private IReadOnlyList<(double Seconds, double Score)>? KnownLags(
        (int Reference, int Query) pair, Dictionary<int, (int Anchor, double LagSeconds)> known)
    {
        if (!known.TryGetValue(pair.Reference, out (int Anchor, double LagSeconds) reference)
            || !known.TryGetValue(pair.Query, out (int Anchor, double LagSeconds) query)
            || reference.Anchor != query.Anchor)
        {
            return null;
        }

        double lag = query.LagSeconds - reference.LagSeconds;
        (double start, double end) = new SoundPair(tracks[pair.Reference]!.Clearest, tracks[pair.Query]!.Clearest).Overlap(lag);
        return end - start >= WorthMeasuringSeconds ? [(lag, double.PositiveInfinity)] : [];
    }
}
