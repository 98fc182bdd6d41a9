using System.Collections.Concurrent;

namespace SyncBench.Alignment;

/// <summary>
/// Asks all pairs of clips from different devices whether they share sound: first those with a clip of the reference
/// device, then the others, of which pairs whose places are known already are only measured where they overlap.
/// </summary>
/// <param name="heard">By clip; null where it is silent.</param>
internal sealed class PairSearch(IReadOnlyList<ClipTracks?> heard, int[] deviceOfClip, int referenceDevice)
{
    /// <summary>e⁻¹⁵: sure enough of a place to look nowhere else.</summary>
    private const double Sure = -15;

    private const double WorthMeasuringSeconds = 4;

    private const int MostJumps = 8;

    /// <summary>By how much more windows must agree when a jump is taken out, else it was none.</summary>
    private const double JumpGain = 0.1;

    private readonly ClipTracks?[] _tracks = [.. heard];
    private readonly ConcurrentBag<PairMatcher> _idleMatchers = [];
    private readonly ClockPriors _clocks = new(heard, deviceOfClip);

    /// <param name="progress">Told the share of pairs that are done.</param>
    /// <returns>The matches, and the clips' tracks, without the jumps of their clocks that came to light.</returns>
    internal (IReadOnlyList<PairMatch> Matches, IReadOnlyList<ClipTracks?> Tracks) Run(IProgress<double>? progress, CancellationToken cancellation)
    {
        List<(int Reference, int Query)> withReference = [], others = [];
        for (int a = 0; a < _tracks.Length; a++)
        {
            for (int b = a + 1; b < _tracks.Length; b++)
            {
                if (_tracks[a] is null || _tracks[b] is null || deviceOfClip[a] == deviceOfClip[b])
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
        PairMatch[] first = WithoutJumps(Ask(withReference, _ => null, logTried, Count, cancellation), logTried, cancellation);
        Dictionary<int, (int Anchor, double LagSeconds)> known = Known(first);
        PairMatch[] second = Ask(others, pair => KnownLags(pair, known), logTried, Count, cancellation);
        PairMatch[] third = AskWhereOthersOfTheDeviceLie(withReference, [.. first, .. second]);
        return ([.. first, .. second, .. third], _tracks);
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
        return
        [
            .. asked
                .Select(pair => WithMatcher(matcher => matcher.MatchNear(Tracks(pair.Pair.Reference), Tracks(pair.Pair.Query), pair.Prior, logTried)))
                .OfType<PairMatch>(),
        ];
    }

    private (int Reference, int Query) LongerFirst(int a, int b) =>
        _tracks[a]!.Clearest.Envelope.Steps >= _tracks[b]!.Clearest.Envelope.Steps ? (a, b) : (b, a);

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
            var coarse = new CoarseMatcher(_tracks[sameReference.Key]!.Clearest.Envelope);
            Parallel.ForEach(sameReference, options, i =>
            {
                (int reference, int query) = pairs[i];
                found[i] = priors[i] is { } prior
                    ? WithMatcher(matcher => matcher.MatchNear(Tracks(reference), Tracks(query), prior, logTriedNear))
                    : null;
                if (found[i] is not { LogChance: < Sure })
                {
                    IReadOnlyList<(double Seconds, double Score)> lags = knownLags(pairs[i])
                        ?? [.. coarse.Find(_tracks[query]!.Clearest.Envelope).Select(lag => (lag.LagSteps / SoundTrack.StepsPerSecond, lag.Score))];
                    PairMatch? anywhere = WithMatcher(matcher => matcher.Match(Tracks(reference), Tracks(query), lags, logTried));
                    found[i] = found[i] is { } near && !(anywhere?.LogChance < near.LogChance) ? near : anywhere;
                }

                count();
            });
            if (_tracks[sameReference.Key]!.Clearest.Envelope.Steps >= BandLevels.StepsOfAnHour)
            {
                // Else its spectra, 50 MB of four hours, lie beside those of the next.
                GC.Collect();
            }
        }

        return [.. found.Where(match => match is not null).Select(match => match!)];
    }

    /// <summary>
    /// Looks for jumps in the clocks of all clips but the reference device's: where that one's own clock jumps, every
    /// other clip seems to, and putting them right puts all together.
    /// </summary>
    private PairMatch[] WithoutJumps(PairMatch[] matches, double logTried, CancellationToken cancellation)
    {
        PairMatch[] mended = [.. matches];
        Parallel.ForEach(
            Enumerable.Range(0, _tracks.Length).Where(clip => deviceOfClip[clip] != referenceDevice),
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            clip =>
            {
                int[] own = [.. Enumerable.Range(0, mended.Length)
                    .Where(i => mended[i].Query == clip || mended[i].Reference == clip)
                    .OrderBy(i => mended[i].LogChance)];
                int jumps = 0;
                while (jumps < MostJumps && own.Any(i => Mend(mended, i, clip, own, logTried)))
                {
                    jumps++;
                }
            });
        return mended;
    }

    /// <returns>Whether the match showed a jump of the clip's clock, which is now out of all its matches.</returns>
    private bool Mend(PairMatch[] matches, int asked, int clip, int[] own, double logTried)
    {
        if (WithMatcher(matcher => matcher.Jump(matches[asked], isQuerys: matches[asked].Query == clip)) is not { } jump)
        {
            return false;
        }

        ClipTracks before = _tracks[clip]!;
        _tracks[clip] = before.Mended([.. before.Jumps, jump]);
        PairMatch?[] again = [.. own.Select(i => MatchAgain(matches[i], logTried))];
        PairMatch? better = again[Array.IndexOf(own, asked)];
        if (better is null || better.Lags.ShareOfWindows < matches[asked].Lags.ShareOfWindows + JumpGain)
        {
            _tracks[clip] = before;
            return false;
        }

        for (int n = 0; n < own.Length; n++)
        {
            matches[own[n]] = again[n] ?? matches[own[n]];
        }

        return true;
    }

    private PairMatch? MatchAgain(PairMatch match, double logTried) => WithMatcher(matcher => matcher.Match(
        Tracks(match.Reference), Tracks(match.Query), [(match.Lags.Line.LagSeconds, double.PositiveInfinity)], logTried));

    private (int Index, ClipTracks Tracks) Tracks(int clip) => (clip, _tracks[clip]!);

    /// <summary>Matchers are dear to make and serve one thread at a time, so idle ones are kept.</summary>
    private T WithMatcher<T>(Func<PairMatcher, T> ask)
    {
        PairMatcher matcher = _idleMatchers.TryTake(out PairMatcher? idle) ? idle : new PairMatcher();
        T answer = ask(matcher);
        _idleMatchers.Add(matcher);
        return answer;
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
        (double start, double end) = new SoundPair(_tracks[pair.Reference]!.Clearest, _tracks[pair.Query]!.Clearest).Overlap(lag);
        return end - start >= WorthMeasuringSeconds ? [(lag, double.PositiveInfinity)] : [];
    }
}
