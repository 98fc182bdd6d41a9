using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>
/// Holds the timecode of clips against where sound placed them, and gives a clip that sound did not place the place that
/// its timecode names, to be checked by ear.
/// </summary>
internal sealed class TimecodeChecks
{
    /// <summary>Clocks that were never set to each other also run apart (common practice: within 50 ppm).</summary>
    private const double ApartPpm = 50;

    private readonly IReadOnlyList<HeardClip> _clips;
    private readonly AlignmentResult _aligned;

    /// <summary>By group: clips of the device whose timecode is taken for the time.</summary>
    private readonly ILookup<int, int> _anchors;

    private TimecodeChecks(IReadOnlyList<HeardClip> clips, AlignmentResult aligned)
    {
        _clips = clips;
        _aligned = aligned;
        _anchors = Anchors();
    }

    /// <param name="isSilent">By clip.</param>
    /// <param name="aligned">One outcome a clip, in the same order.</param>
    internal static AlignmentResult Hold(
        IReadOnlyList<HeardClip> clips, Func<int, bool> isSilent, AlignmentResult aligned) =>
        clips.Any(clip => clip.Timecode is not null) ? new TimecodeChecks(clips, aligned).Held(isSilent) : aligned;

    private AlignmentResult Held(Func<int, bool> isSilent)
    {
        TimecodeCheck?[] checks = [.. Enumerable.Range(0, _clips.Count).Select(Check)];
        Dictionary<Device, TimecodeCheck> typical = Typical(checks);
        for (int clip = 0; clip < checks.Length; clip++)
        {
            if (checks[clip] is { } check && typical.TryGetValue(_clips[clip].Clip.Device, out TimecodeCheck? usual))
            {
                checks[clip] = check with { DeviceOff = usual.Off, Tolerance = Tolerance(check, usual) };
            }
        }

        return _aligned with
        {
            Clips = WithGuesses(
                [.. _aligned.Clips.Select((outcome, clip) => outcome with { Timecode = checks[clip] })], checks, typical, isSilent),
            Clocks = [.. _aligned.Clocks.Select(clock => clock with { Timecode = typical.GetValueOrDefault(clock.Device) })],
        };
    }

    private ImmutableArray<ClipOutcome> WithGuesses(
        ClipOutcome[] outcomes, TimecodeCheck?[] checks, Dictionary<Device, TimecodeCheck> typical, Func<int, bool> isSilent)
    {
        (int Clip, Placement Placement)[] anchors = PlacedAnchors() ?? AnchorsByTimecode(isSilent);
        for (int clip = 0; clip < outcomes.Length; clip++)
        {
            // A generator that feeds a camera's only channel leaves it no other way to be found.
            if (_aligned.Clips[clip].Placement is null && (!isSilent(clip) || _clips[clip].Timecode is { Source: TimecodeSource.Ltc })
                && Guess(clip, anchors, checks, typical) is { } guess)
            {
                outcomes[clip] = guess.Outcome;
                outcomes[guess.Anchor.Clip] = outcomes[guess.Anchor.Clip] is { Placement: null } alone
                    ? alone with
                    {
                        Outcome = Outcome.CheckByEar,
                        Placement = guess.Anchor.Placement,
                        Reason = $"its sound matches nothing, but by timecode {outcomes[clip].Clip.File.Path} lies in it: look at both there",
                    }
                    : outcomes[guess.Anchor.Clip];
            }
        }

        return [.. outcomes];
    }

    private Placement? Placed(int clip) =>
        _aligned.Clips[clip] is { Outcome: Outcome.Placed, Placement: { } placement } ? placement : null;

    /// <summary>The reference device's timecode where it has one, else a recorder's, else the device's with most.</summary>
    private ILookup<int, int> Anchors()
    {
        Device? reference = _aligned.Clocks.FirstOrDefault(clock => clock.IsReference)?.Device;
        return Enumerable.Range(0, _clips.Count)
            .Where(clip => _clips[clip].Timecode is not null && Placed(clip) is not null)
            .GroupBy(clip => Placed(clip)!.Group)
            .SelectMany(group => group
                .GroupBy(clip => _clips[clip].Clip.Device)
                .OrderByDescending(device => device.Key == reference)
                .ThenByDescending(device => device.Key.Kind)
                .ThenByDescending(device => device.Sum(clip => _clips[clip].Clip.Duration.ToSeconds()))
                .First()
                .Select(clip => (Group: group.Key, Clip: clip)))
            .ToLookup(anchor => anchor.Group, anchor => anchor.Clip);
    }

    private (int Clip, Placement Placement)[]? PlacedAnchors() =>
        _aligned.Clips.Any(clip => clip.Placement is not null)
            ? [.. _anchors.SelectMany(group => group).Select(clip => (clip, Placed(clip)!))]
            : null;

    /// <summary>Where sound placed nothing at all, one device's clips stand where their own timecode says.</summary>
    private (int Clip, Placement Placement)[] AnchorsByTimecode(Func<int, bool> isSilent)
    {
        int[] device = [.. Enumerable.Range(0, _clips.Count)
            .Where(clip => _clips[clip].Timecode is not null && !isSilent(clip))
            .GroupBy(clip => _clips[clip].Clip.Device)
            .OrderByDescending(device => device.Key.Kind)
            .ThenByDescending(device => device.Sum(clip => _clips[clip].Clip.Duration.ToSeconds()))
            .FirstOrDefault() ?? Enumerable.Empty<int>()];
        MediaTime earliest = device.Select(clip => _clips[clip].Timecode!.SinceMidnight).DefaultIfEmpty().Min();
        return
        [
            .. device.Select(clip => (
                clip, ByTimecode(_clips[clip].Clip, _clips[clip].Timecode!.SinceMidnight - earliest, null, group: 0))),
        ];
    }

    private Placement ByTimecode(Clip clip, MediaTime offset, Device? against, int group)
    {
        DeviceClock? device = _aligned.Clocks.FirstOrDefault(clock => clock.Device == clip.Device);
        return new Placement(
            clip, new ClockMap(offset, device?.Ppm ?? 0), device?.StandardErrorPpm ?? double.PositiveInfinity,
            (VideoRate(clip) ?? Rate.Fps25).HalfUnit, double.NaN, against, group, [], []);
    }

    private TimecodeCheck? Check(int clip)
    {
        if (_clips[clip].Timecode is not { } clock || Placed(clip) is not { } placement)
        {
            return null;
        }

        int anchor = _anchors[placement.Group]
            .OrderBy(other => (Placed(other)!.CommonRange.Intersect(placement.CommonRange).IsEmpty, Distance(other, placement)))
            .DefaultIfEmpty(-1)
            .First();
        if (anchor < 0 || _clips[anchor].Clip.Device == placement.Clip.Device)
        {
            return null;
        }

        StartClock time = _clips[anchor].Timecode!;
        MediaTime bySound = Placed(anchor)!.Map.ToClip(placement.Map.Offset);
        MediaTime off = ClockDifference.Readings(clock, time).Select(reading => reading - bySound).MinBy(MediaTime.Abs);
        Rate rate = clock.FrameRate ?? time.FrameRate ?? VideoRate(placement.Clip) ?? Rate.Fps25;
        return new TimecodeCheck(
            clock, _clips[anchor].Clip, time, clock.SinceMidnight - off, off, MediaTime.Zero,
            rate.HalfUnit, rate);
    }

    private MediaTime Distance(int other, Placement placement) =>
        MediaTime.Abs(Placed(other)!.Map.Offset - placement.Map.Offset);

    private static Rate? VideoRate(Clip clip) =>
        clip.Media.Video is [var video, ..] ? TimecodeFormat.Standard(video.FrameRate) : null;

    /// <summary>
    /// By device whose timecode was not set to the others': the check of one of its clips that are all off by the same.
    /// They are two at least, and more than half of what the device has.
    /// </summary>
    private Dictionary<Device, TimecodeCheck> Typical(TimecodeCheck?[] checks)
    {
        var typical = new Dictionary<Device, TimecodeCheck>();
        foreach (IGrouping<Device, TimecodeCheck> device in Enumerable.Range(0, checks.Length)
            .Where(clip => checks[clip] is not null)
            .GroupBy(clip => _clips[clip].Clip.Device, clip => checks[clip]!))
        {
            TimecodeCheck[] all = [.. device];
            TimecodeCheck[] alike = all
                .Select(check => all.Where(other => MediaTime.Abs(other.Off - check.Off) <= Tolerance(other, check)).ToArray())
                .MaxBy(near => near.Length)!;
            TimecodeCheck middle = alike.OrderBy(check => check.Off).ElementAt(alike.Length / 2);
            if (alike.Length >= 2 && 2 * alike.Length > all.Length && MediaTime.Abs(middle.Off) > middle.Tolerance)
            {
                typical[device.Key] = middle;
            }
        }

        return typical;
    }

    private static MediaTime Tolerance(TimecodeCheck check, TimecodeCheck usual) =>
        check.FrameRate.HalfUnit
        + MediaTime.FromSeconds(MediaTime.Abs(check.BySound - usual.BySound).ToSeconds() * ApartPpm * 1e-6);

    /// <summary>
    /// Where timecode alone puts a clip, for a person to look at: null where it puts it beside everything, where another
    /// clip of the device lies already, or where the device's timecode was found to be wrong.
    /// </summary>
    private (ClipOutcome Outcome, (int Clip, Placement Placement) Anchor)? Guess(
        int clip, (int Clip, Placement Placement)[] anchors, TimecodeCheck?[] checks, Dictionary<Device, TimecodeCheck> typical)
    {
        Clip what = _clips[clip].Clip;
        TimecodeCheck[] known =
            [.. checks.Where((check, other) => check is not null && _clips[other].Clip.Device == what.Device).Select(check => check!)];
        if (_clips[clip].Timecode is not { } clock || (known.Length > 0 && !known.Any(check => check.Agrees)))
        {
            return null;
        }

        MediaTime deviceOff = typical.TryGetValue(what.Device, out TimecodeCheck? usual) ? usual.Off : MediaTime.Zero;
        var candidates = anchors
            .Where(anchor => anchor.Placement.Clip.Device != what.Device)
            .Select(anchor =>
            {
                MediaTime later = ClockDifference.Readings(clock, _clips[anchor.Clip].Timecode!).First() - deviceOff;
                Placement there = anchor.Placement;
                Placement placement = ByTimecode(what, there.Map.ToCommon(later), there.Clip.Device, there.Group);
                return (Anchor: anchor, Placement: placement, Shared: placement.CommonRange.Intersect(there.CommonRange).Duration);
            })
            .Where(guess => guess.Shared.ToSeconds() >= what.Duration.ToSeconds() / 2 && !IsTaken(guess.Placement))
            .OrderByDescending(guess => guess.Shared)
            .ToArray();
        if (candidates is not [var best, ..])
        {
            return null;
        }

        string confirmed = known.Length > 0 ? $", and {what.Device.Name}'s timecode agrees elsewhere" : string.Empty;
        string reason = $"its sound matches nothing, but by its {clock.InWords()} it lies in {best.Anchor.Placement.Clip.File.Path} "
            + $"({_clips[best.Anchor.Clip].Timecode!.InWords()}){confirmed}: look at both there";
        return (new ClipOutcome(what, Outcome.CheckByEar, best.Placement, reason), best.Anchor);
    }

    private bool IsTaken(Placement guess) => Enumerable.Range(0, _clips.Count)
        .Select(Placed)
        .Any(other => other?.Clip.Device == guess.Clip.Device
            && other.CommonRange.Intersect(guess.CommonRange).Duration.ToSeconds() > Aligner.SameDeviceOverlapSeconds);
}
