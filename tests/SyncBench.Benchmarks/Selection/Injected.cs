using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

internal enum Strength
{
    Gentle,
    Middle,
    Strong,
}

/// <summary>A fault to put on a mic.</summary>
/// <param name="Way">Kinds come about in several ways; which of them.</param>
internal sealed record FaultPlan(FaultKind Kind, int Way, Strength Strength, int Mic, double From, double To, ulong Seed);

/// <summary>A fault that is in the sound, with the times at which it truly begins and ends.</summary>
internal sealed record InjectedFault(FaultKind Kind, int Way, Strength Strength, int Mic, double From, double To)
{
    /// <summary>Where it is first noticed, if it comes slowly: any beginning from there to <see cref="From"/> is right.</summary>
    internal double NoticedFrom { get; init; } = From;

    /// <summary>Where it is last noticed, if it goes slowly.</summary>
    internal double NoticedTo { get; init; } = To;

    internal double Seconds => To - From;
}
