using System.Collections.Immutable;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>Puts clips where a person says, when all others have been placed by their sound.</summary>
public static class HandPlacement
{
    /// <summary>A person places to the frame: half of one at 25 a second.</summary>
    private static readonly MediaTime HalfAFrame = MediaTime.FromSeconds(0.02);

    /// <param name="bySound">Of all clips with sound but those to be placed.</param>
    /// <param name="clips">Of the whole dump, those without sound too.</param>
    /// <returns>The same with those clips; the common clock begins with the earliest of all.</returns>
    /// <exception cref="SettingsException">What is to be placed cannot be read, or two clips of one device would overlap.</exception>
    public static AlignmentResult Apply(AlignmentResult bySound, IReadOnlyList<Clip> clips, ImmutableArray<PlacedByHand> pairs)
    {
        if (pairs.IsEmpty)
        {
            return bySound;
        }

        var clipOf = clips.ToDictionary(clip => clip.File.Path, StringComparer.Ordinal);
        if (pairs.SelectMany(pair => (string[])[pair.File, pair.Against]).FirstOrDefault(file => !clipOf.ContainsKey(file)) is { } lost)
        {
            throw new SettingsException($"{lost} cannot be placed by hand: it is no recording that can be read, or a copy of another file. Take back the correction, then run again.");
        }

        List<ClipOutcome> placed = [.. bySound.Clips.Where(clip => clip.Outcome == Outcome.Placed)];
        var byHand = new List<ClipOutcome>();
        foreach (ClipOutcome anchor in placed)
        {
            byHand.AddRange(Hung(anchor, clipOf, pairs, bySound.Clocks).Skip(1));
        }

        // Pairs that hang on no clip with a place are a conversation of their own, after the others.
        int group = placed.Select(clip => clip.Placement!.Group).DefaultIfEmpty(-1).Max() + 1;
        string[] roots = [.. pairs.Select(pair => pair.Against).Distinct(StringComparer.Ordinal)
            .Where(file => pairs.All(pair => pair.File != file) && placed.All(clip => clip.Clip.File.Path != file))];
        foreach (string root in roots)
        {
            ClipOutcome first = At(clipOf[root], MediaTime.Zero, bySound.Clocks, null, group++, "placed by hand: others are placed by it");
            List<ClipOutcome> hung = Hung(first, clipOf, pairs, bySound.Clocks);
            MediaTime start = placed.Concat(byHand).Select(clip => clip.Placement!.CommonRange.End)
                .Select(end => MediaTime.FromSeconds(Math.Ceiling(end.ToSeconds() + Aligner.GroupGapSeconds)))
                .DefaultIfEmpty(MediaTime.Zero).Max();
            byHand.AddRange(Aligner.FromZero(hung, start));
        }

        RefuseOverlaps(byHand);
        IEnumerable<ClipOutcome> others = bySound.Clips
            .Where(clip => byHand.TrueForAll(hand => hand.Clip.File != clip.Clip.File)).Select(clip => WithoutOverlap(clip, byHand));
        return bySound with { Clips = Aligner.FromZero([.. others, .. byHand], MediaTime.Zero) };
    }

    /// <summary>A clip with a place, and all that hang on it.</summary>
    private static List<ClipOutcome> Hung(
        ClipOutcome anchor, Dictionary<string, Clip> clipOf, ImmutableArray<PlacedByHand> pairs, ImmutableArray<DeviceClock> clocks)
    {
        List<ClipOutcome> tree = [anchor];
        for (int i = 0; i < tree.Count; i++)
        {
            Placement by = tree[i].Placement!;
            tree.AddRange(pairs.Where(pair => pair.Against == by.Clip.File.Path).Select(pair => At(
                clipOf[pair.File], by.Map.ToCommon(MediaTime.FromSeconds(pair.OffsetS)), clocks, by.Clip.Device, by.Group, $"placed by hand: {pair}")));
        }

        return tree;
    }

    /// <summary>At the rate of its device where sound told it, else at the reference's.</summary>
    private static ClipOutcome At(
        Clip clip, MediaTime start, ImmutableArray<DeviceClock> clocks, Device? against, int group, string why)
    {
        DeviceClock? clock = clocks.FirstOrDefault(clock => clock.Device == clip.Device);
        return new ClipOutcome(clip, Outcome.Placed, new Placement(
            clip, new ClockMap(start, clock?.Ppm ?? 0), clock?.StandardErrorPpm ?? double.NaN, HalfAFrame, double.NaN, against, group, [],
            [.. clip.Mics.Select(mic => new MicDelay(mic, MediaTime.Zero, Measured: false))]), why);
    }

    private static ClipOutcome WithoutOverlap(ClipOutcome bySound, List<ClipOutcome> byHand) =>
        bySound.Outcome == Outcome.Placed && byHand.Find(hand => Overlap(hand, bySound)) is { } hand
            ? bySound with
            {
                Outcome = Outcome.CheckByEar,
                Reason = $"it would overlap {hand.Clip.File.Path} of the same device, which was placed by hand: listen to both",
            }
            : bySound;

    private static void RefuseOverlaps(List<ClipOutcome> byHand)
    {
        foreach (ClipOutcome one in byHand)
        {
            if (byHand.Find(other => other != one && Overlap(one, other)) is { } other)
            {
                throw new SettingsException(
                    $"{one.Clip.File.Path} and {other.Clip.File.Path} are of one device and would overlap where they were placed by hand. Correct one of them, then run again.");
            }
        }
    }

    private static bool Overlap(ClipOutcome one, ClipOutcome other) =>
        one.Clip.Device == other.Clip.Device
        && one.Placement!.CommonRange.Intersect(other.Placement!.CommonRange).Duration.ToSeconds() > Aligner.SameDeviceOverlapSeconds;
}
