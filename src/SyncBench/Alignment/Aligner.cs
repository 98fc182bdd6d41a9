using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>Puts all clips of a dump on one clock by their sound.</summary>
/// <param name="certainty">Probability below which a placement is left to be checked by ear.</param>
public sealed class Aligner(double certainty)
{
    /// <summary>Unrelated conversations follow each other on the common clock with this much between them.</summary>
    internal const double GroupGapSeconds = 10;

    /// <summary>Two clips of one device that seem to overlap by less are only placed a little off.</summary>
    internal const double SameDeviceOverlapSeconds = 0.1;

    /// <summary>A guess worth a person's ear; what is less certain is no guess.</summary>
    private const double WorthAnEar = 0.5;

    /// <param name="progress">Told the share of pairs that are done.</param>
    public AlignmentResult Align(
        IReadOnlyList<HeardClip> clips, IProgress<double>? progress, CancellationToken cancellation)
    {
        ClipTracks?[] tracks = [.. clips.Select(clip => Tracks(clip))];
        Device[] devices = [.. clips.Select(clip => clip.Clip.Device).Distinct()];
        int[] deviceOfClip = [.. clips.Select(clip => Array.IndexOf(devices, clip.Clip.Device))];
        int reference = ReferenceDevice(clips, tracks, devices, deviceOfClip);
        if (reference < 0)
        {
            return new AlignmentResult([.. clips.Select(clip => SetAside(clip.Clip, "its sound is silent"))], []);
        }

        (IReadOnlyList<PairMatch> matches, IReadOnlyList<ClipTracks?> whole) =
            new PairSearch(tracks, deviceOfClip, reference).Run(progress, cancellation);
        (Solution solution, Recordings recordings) =
            RecordingSolution.Solve(matches, clips, whole, deviceOfClip, devices.Length, reference);
        var results = new PlacementBuilder(
            clips, whole, devices, deviceOfClip, reference, solution, recordings, GroupStarts(solution, clips));
        ImmutableArray<ClipOutcome> outcomes =
        [
            .. Enumerable.Range(0, clips.Count).Select(clip => Judge(clip, clips, tracks, solution, results)),
        ];
        return TimecodeChecks.Hold(clips, clip => tracks[clip] is null, new AlignmentResult(
            FromZero(MonoFiles.Tie(WithoutOverlaps(outcomes)), MediaTime.Zero), Clocks(devices, deviceOfClip, reference, solution)));
    }

    private static ClipTracks? Tracks(HeardClip clip)
    {
        if (clip.Clip.SpeechMics.IsEmpty)
        {
            return null;
        }

        ClipTracks tracks = ClipTracks.Of(clip);
        return tracks.Clearest.Envelope.IsStill ? null : tracks;
    }

    /// <summary>The device with the most sound that moves; a recorder where two have as much.</summary>
    private static int ReferenceDevice(
        IReadOnlyList<HeardClip> clips, ClipTracks?[] tracks, Device[] devices, int[] deviceOfClip) =>
        Enumerable.Range(0, devices.Length)
            .Select(device => (Index: device, Seconds: Enumerable.Range(0, clips.Count)
                .Where(clip => deviceOfClip[clip] == device && tracks[clip] is not null)
                .Sum(clip => clips[clip].Clip.Duration.ToSeconds())))
            .Where(device => device.Seconds > 0)
            .OrderByDescending(device => device.Seconds)
            .ThenByDescending(device => devices[device.Index].Kind)
            .Select(device => device.Index)
            .DefaultIfEmpty(-1)
            .First();

    /// <summary>Start of each group on the common clock, in order of file time, else of timecode, else of path.</summary>
    private static Dictionary<int, double> GroupStarts(Solution solution, IReadOnlyList<HeardClip> clips)
    {
        var starts = new Dictionary<int, double>();
        double next = 0;
        IEnumerable<IGrouping<int, int>> groups = Enumerable.Range(0, clips.Count)
            .Where(clip => solution.Group[clip] >= 0)
            .GroupBy(clip => solution.Group[clip])
            .OrderBy(group => group.Min(clip => clips[clip].Clip.Media.CreatedAt) ?? DateTimeOffset.MaxValue)
            .ThenBy(group => group.All(clip => clips[clip].Timecode is null))
            .ThenBy(group => group.Min(clip => clips[clip].Timecode?.SinceMidnight))
            .ThenBy(group => group.Key);
        foreach (IGrouping<int, int> group in groups)
        {
            starts[group.Key] = next;
            double length = group.Max(clip => solution.OffsetSeconds[clip] + clips[clip].Clip.Duration.ToSeconds());
            next = Math.Ceiling(next + length + GroupGapSeconds);
        }

        return starts;
    }

    private ClipOutcome Judge(
        int clip, IReadOnlyList<HeardClip> clips, ClipTracks?[] tracks, Solution solution, PlacementBuilder results)
    {
        Clip what = clips[clip].Clip;
        if (tracks[clip] is null && solution.Group[clip] < 0)
        {
            return SetAside(what, what.Media.Audio.IsEmpty ? "it has no sound" : "its sound is silent");
        }

        if (solution.Group[clip] < 0 || results.Place(clip) is not { } placement || placement.Certainty < WorthAnEar)
        {
            return SetAside(what, "its sound matches nothing in this dump");
        }

        string how = placement.Continues is { } before ? $"goes on from {before.Name} without a gap"
            : placement.Against is { } device ? $"sound matches {device.Name}"
            : "the clock the others are set to";
        return placement.Certainty >= certainty
            ? new ClipOutcome(what, Outcome.Placed, placement, how, JumpWords.Of(placement))
            : new ClipOutcome(what, Outcome.CheckByEar, placement, string.Create(
                CultureInfo.InvariantCulture,
                $"{how}, but only with {placement.Certainty:P1} certainty: listen to it beside {placement.Against?.Name}"));
    }

    private static ClipOutcome SetAside(Clip clip, string why) => new(clip, Outcome.SetAside, null, why);

    /// <summary>One device cannot have recorded two clips at once: of two that overlap the less certain is doubtful.</summary>
    private static ImmutableArray<ClipOutcome> WithoutOverlaps(ImmutableArray<ClipOutcome> outcomes)
    {
        ClipOutcome[] judged = [.. outcomes];
        for (int a = 0; a < judged.Length; a++)
        {
            for (int b = a + 1; b < judged.Length; b++)
            {
                if (judged[a] is not { Outcome: Outcome.Placed, Placement: { } first }
                    || judged[b] is not { Outcome: Outcome.Placed, Placement: { } second }
                    || first.Clip.Device != second.Clip.Device
                    || first.CommonRange.Intersect(second.CommonRange).Duration.ToSeconds() <= SameDeviceOverlapSeconds)
                {
                    continue;
                }

                int doubtful = first.Certainty < second.Certainty ? a : b, sure = doubtful == a ? b : a;
                judged[doubtful] = judged[doubtful] with
                {
                    Outcome = Outcome.CheckByEar,
                    Reason = $"it would overlap {judged[sure].Clip.File.Path} of the same device: listen to both",
                };
            }
        }

        return [.. judged];
    }

    /// <summary>The earliest clip that is placed begins at <paramref name="start"/>, whatever was left in doubt before it.</summary>
    internal static ImmutableArray<ClipOutcome> FromZero(IReadOnlyList<ClipOutcome> outcomes, MediaTime start)
    {
        MediaTime earliest = outcomes
            .Where(clip => clip.Outcome == Outcome.Placed)
            .Select(clip => clip.Placement!.Map.Offset)
            .DefaultIfEmpty()
            .Min();
        return
        [
            .. outcomes.Select(clip => clip.Placement is not { } placement
                ? clip
                : clip with { Placement = placement with { Map = placement.Map with { Offset = placement.Map.Offset - earliest + start } } }),
        ];
    }

    private static ImmutableArray<DeviceClock> Clocks(
        Device[] devices, int[] deviceOfClip, int reference, Solution solution) =>
    [
        .. Enumerable.Range(0, devices.Length)
            .Where(device => deviceOfClip.Where((d, clip) => d == device && solution.Group[clip] >= 0).Any())
            .Select(device => new DeviceClock(
                devices[device], solution.Ppm[device], solution.PpmError[device], device == reference))
            .OrderByDescending(clock => clock.IsReference)
            .ThenBy(clock => clock.Device.Name, StringComparer.Ordinal),
    ];
}
