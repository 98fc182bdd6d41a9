using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>
/// Ties the mono files of one recording together to the sample: they began together and ran by one crystal, so what their sound
/// says apart is where their mics stood.
/// </summary>
internal static class MonoFiles
{
    /// <summary>No two mics that hear one talker are further apart than 17 m; what seems so was placed wrongly.</summary>
    private const double FarthestMicSeconds = 0.05;

    internal static ImmutableArray<ClipOutcome> Tie(ImmutableArray<ClipOutcome> outcomes)
    {
        Dictionary<string, ClipOutcome> leads = outcomes
            .Where(file => file is { Clip.MonoSet: not null, Outcome: Outcome.Placed })
            .GroupBy(file => file.Clip.MonoSet!)
            .ToDictionary(set => set.Key, set => set
                .OrderByDescending(file => file.Placement!.Against is null)
                .ThenByDescending(file => file.Placement!.Certainty)
                .ThenBy(file => file.Placement!.OffsetStandardError)
                .First());
        return
        [
            .. outcomes.Select(file => file.Clip.MonoSet is { } set && leads.TryGetValue(set, out ClipOutcome? lead) && lead != file
                ? Beside(lead, file)
                : file),
        ];
    }

    private static ClipOutcome Beside(ClipOutcome lead, ClipOutcome file)
    {
        Placement first = lead.Placement!;
        MediaTime middle = MediaTime.FromSeconds(file.Clip.Duration.ToSeconds() / 2);
        ImmutableArray<MicDelay> delays = file is { Outcome: Outcome.Placed, Placement: { } placed }
            && first.Map.ToCommon(middle) - placed.Map.ToCommon(middle) is var delay
            && Math.Abs(delay.ToSeconds()) < FarthestMicSeconds
                ? [.. file.Clip.Mics.Select(mic => new MicDelay(mic, delay, Measured: true))]
                : [.. file.Clip.Mics.Select(mic => new MicDelay(mic, MediaTime.Zero, Measured: false))];
        return new ClipOutcome(
            file.Clip, Outcome.Placed, first with { Clip = file.Clip, MicDelays = delays, Continues = file.Placement?.Continues, Votes = file.Placement?.Votes ?? [] },
            $"recorded together with {lead.Clip.File.Name}", file.Damage);
    }
}
