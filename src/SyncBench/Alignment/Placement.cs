using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>
/// One window's answer to "how far is this clip from the reference here". The line through all votes is the placement.
/// </summary>
/// <param name="At">Middle of the window on the clip's clock.</param>
/// <param name="Residual">Measured lag less the fitted line; positive where the clip hears later than the line says.</param>
/// <param name="Counted">Whether the vote carried the line (false: another talker, a reflection, noise).</param>
public sealed record LagVote(MediaTime At, MediaTime Residual, bool Counted);

/// <summary>How sound of one channel lies against the clip's placement.</summary>
/// <param name="Delay">
/// Later (positive) arrival of the subject's voice at this mic than the clip's <see cref="ClockMap"/> says,
/// because the mic stands elsewhere than the one the clip was placed by.
/// </param>
public sealed record MicDelay(MicChannel Mic, MediaTime Delay, bool Measured);

/// <summary>Where a clip sits on the common clock, and why we believe it.</summary>
/// <param name="Map">The clip's clock to the common clock. Picture and sound move together.</param>
/// <param name="RateStandardErrorPpm">One standard error of the device's rate.</param>
/// <param name="OffsetStandardError">One standard error of the offset at the middle of the clip.</param>
/// <param name="Certainty">Probability, 0 to 1, that this is the right place; not a number where timecode alone or a person names it.</param>
/// <param name="Against">The device whose sound placed it; null for the reference itself.</param>
/// <param name="Group">Clips with the same number share sound; groups are unrelated conversations.</param>
public sealed record Placement(
    Clip Clip,
    ClockMap Map,
    double RateStandardErrorPpm,
    MediaTime OffsetStandardError,
    double Certainty,
    Device? Against,
    int Group,
    ImmutableArray<LagVote> Votes,
    ImmutableArray<MicDelay> MicDelays)
{
    /// <summary>The file of the same device that this one goes on from, to the sample or frame; null where it starts anew.</summary>
    public MediaFile? Continues { get; init; }

    /// <summary>From the clip's first to its last sample or frame, on the common clock.</summary>
    public TimeRange CommonRange => TimeRange.Between(Map.ToCommon(MediaTime.Zero), Map.ToCommon(Clip.Duration));

    /// <summary>
    /// Like <see cref="Map"/>, for what this mic hears: common time is when the mic the reference is placed by heard it.
    /// </summary>
    public ClockMap MapOf(MicChannel mic) => Map with
    {
        Offset = Map.Offset - new ClockMap(MediaTime.Zero, Map.Ppm).ToCommon(
            MicDelays.FirstOrDefault(delay => delay.Mic == mic)?.Delay ?? MediaTime.Zero),
    };

    /// <summary>Common clock to the time in the file at which this mic heard what the reference mic heard then.</summary>
    public MediaTime ToMicTime(MicChannel mic, MediaTime onCommon) => MapOf(mic).ToClip(onCommon);
}

/// <summary>What became of a file of the dump.</summary>
public enum Outcome
{
    Placed,
    SetAside,
    CheckByEar,
    Unreadable,
}

/// <summary>A file and what became of it.</summary>
/// <param name="Clip">Null where the file could not be read.</param>
/// <param name="Placement">
/// Present where placed; for <see cref="Outcome.CheckByEar"/> the best guess, which goes to no timeline.
/// </param>
/// <param name="Reason">One sentence in the reader's words; never empty.</param>
/// <param name="Damage">What of its sound could not be read, and what to do; null where all could.</param>
/// <param name="Timecode">Its timecode against its place by sound; null where there is nothing to hold together.</param>
public sealed record FileOutcome(
    MediaFile File, Clip? Clip, Outcome Outcome, Placement? Placement, string Reason, string? Damage = null,
    TimecodeCheck? Timecode = null)
{
    /// <summary>Whether somebody has to look at the file: it is unreadable, damaged, or wants a check by ear.</summary>
    public bool NeedsAPerson => Damage is not null || Outcome is Outcome.Unreadable or Outcome.CheckByEar;
}

/// <summary>A stretch in which at least one camera and one other device roll together.</summary>
/// <param name="Name">"take 1", "take 2", in order of the common clock.</param>
/// <param name="CommonRange">On the common clock.</param>
/// <param name="Placements">Every clip that overlaps the take, in order of start, then of file path.</param>
public sealed record Take(string Name, TimeRange CommonRange, ImmutableArray<Placement> Placements);
