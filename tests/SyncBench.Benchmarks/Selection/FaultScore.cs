using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>A fault that was put in, and what was found of it.</summary>
/// <param name="Covered">The share of it that is covered by faults of its kind, found on its mic.</param>
/// <param name="Found">Seconds; null where it was not found.</param>
internal sealed record TrueFault(string Scene, string Mic, InjectedFault Fault, double Covered, (double From, double To)? Found)
{
    internal bool IsFound => Found is not null;

    /// <summary>Positive where the find begins too late.</summary>
    internal double? StartErrorMs => Beyond(Found?.From, Fault.NoticedFrom, Fault.From);

    internal double? EndErrorMs => Beyond(Found?.To, Fault.To, Fault.NoticedTo);

    /// <summary>The same, but for what comes and goes slowly, to the moment from which it is plainly heard.</summary>
    internal double? PlainStartErrorMs => Beyond(Found?.From, Fault.From, Fault.From);

    internal double? PlainEndErrorMs => Beyond(Found?.To, Fault.To, Fault.To);

    /// <summary>Milliseconds by which a time lies before or behind all that is right.</summary>
    private static double? Beyond(double? time, double earliest, double latest) =>
        time is { } at ? (at - Math.Clamp(at, earliest, latest)) * 1000 : null;
}

/// <summary>A fault that was found.</summary>
/// <param name="IsTrue">Half of it or more lies in faults of its kind that were put on its mic.</param>
internal sealed record FoundFault(string Scene, string Mic, FaultKind Kind, double From, double To, bool IsTrue);

internal sealed record FaultScore(IReadOnlyList<TrueFault> True, IReadOnlyList<FoundFault> Found)
{
    private const double EdgeSlack = 0.1;

    internal static FaultScore Of(string scene, TakeSound sound, IReadOnlyList<MicPlan> mics, IReadOnlyList<InjectedFault> injected)
    {
        (string Mic, FaultKind Kind, double From, double To)[] found = [.. sound.Faults.Select(fault => (
            fault.Source.Clip.Device.Name, fault.Kind,
            fault.CommonRange.Start.ToSeconds(), fault.CommonRange.End.ToSeconds()))];
        return new FaultScore(
            [.. injected.Select(fault => Judge(fault, [.. found.Where(f => f.Mic == mics[fault.Mic].Name && f.Kind == fault.Kind)]))],
            [.. found.Select(f => new FoundFault(scene, f.Mic, f.Kind, f.From, f.To, injected
                .Where(fault => mics[fault.Mic].Name == f.Mic && fault.Kind == f.Kind)
                .Sum(fault => Shared(f.From, f.To, fault.From - EdgeSlack, fault.To + EdgeSlack)) * 2 >= f.To - f.From))]);

        TrueFault Judge(InjectedFault fault, (string Mic, FaultKind Kind, double From, double To)[] candidates)
        {
            var touching = candidates.Where(f => Shared(f.From, f.To, fault.From, fault.To) > 0).ToArray();
            double covered = touching.Sum(f => Shared(f.From, f.To, fault.From, fault.To)) / fault.Seconds;
            return new TrueFault(
                scene, mics[fault.Mic].Name, fault, covered,
                covered >= 0.5 ? (touching.Min(f => f.From), touching.Max(f => f.To)) : null);
        }
    }

    private static double Shared(double from, double to, double otherFrom, double otherTo) =>
        Math.Max(0, Math.Min(to, otherTo) - Math.Max(from, otherFrom));
}
