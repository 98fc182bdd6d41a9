using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>A fault that was put in, and what was found of it.</summary>
/// <param name="Covered">The share of it that is covered by faults of its kind, found on its mic.</param>
/// <param name="StartErrorMs">Null where it was not found; positive where the find begins too late.</param>
internal sealed record TrueFault(string Scene, string Mic, InjectedFault Fault, double Covered, double? StartErrorMs, double? EndErrorMs)
{
    internal bool IsFound => StartErrorMs is not null;
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
            return !(covered >= 0.5)
                ? new TrueFault(scene, mics[fault.Mic].Name, fault, covered, null, null)
                : new TrueFault(
                    scene, mics[fault.Mic].Name, fault, covered,
                    (touching.Min(f => f.From) - fault.From) * 1000, (touching.Max(f => f.To) - fault.To) * 1000);
        }
    }

    private static double Shared(double from, double to, double otherFrom, double otherTo) =>
        Math.Max(0, Math.Min(to, otherTo) - Math.Max(from, otherFrom));
}
