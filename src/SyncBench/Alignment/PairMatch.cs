namespace SyncBench.Alignment;

/// <summary>Two clips that share sound, and how they lie together.</summary>
/// <param name="Reference">Index of the reference clip in the list of clips.</param>
/// <param name="Query">Index of the query clip.</param>
/// <param name="LogChance">Natural logarithm of the probability that chance made this match, over the whole search.</param>
internal sealed record PairMatch(int Reference, int Query, SoundPair Pair, TrackedLags Lags, double LogChance)
{
    /// <summary>Probability that the match is right.</summary>
    internal double Certainty => 1 / (1 + Math.Exp(Math.Min(LogChance, 50)));

    /// <summary>Whether one mic is close to the talker, so that the direct path can be told from reflections.</summary>
    internal bool ShowsDirectPath => Pair.Reflections != Reflections.OnBothSides;

    internal int Other(int clip) => clip == Reference ? Query : Reference;
}
