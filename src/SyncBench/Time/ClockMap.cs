using System.Collections.Immutable;

namespace SyncBench.Time;

/// <summary>
/// How a clip's own clock maps to the common clock: <c>t = Offset + (1 + Ppm·10⁻⁶)·t_clip</c>, where t_clip counts what
/// was lost at the jumps before it as well.
/// </summary>
/// <param name="Offset">Where the clip's time zero lies on the common clock.</param>
/// <param name="Ppm">
/// Parts per million by which a second of this clip's clock is longer than a second of the common clock.
/// </param>
/// <param name="Jumps">In order of time; default for nearly every clip.</param>
public readonly record struct ClockMap(MediaTime Offset, double Ppm, ImmutableArray<ClockJump> Jumps = default)
{
    /// <summary>In order of time; empty for nearly every clip.</summary>
    public ImmutableArray<ClockJump> Jumps { get => field.IsDefault ? [] : field; init; } = Jumps;

    /// <summary>The instant on the common clock, to the nearest nanosecond of the rate correction.</summary>
    public MediaTime ToCommon(MediaTime onClip)
    {
        MediaTime whole = onClip;
        foreach (ClockJump jump in Jumps)
        {
            whole += jump.At <= onClip ? jump.Lost : MediaTime.Zero;
        }

        return Offset + whole + MediaTime.FromSeconds(whole.ToSeconds() * Ppm * 1e-6);
    }

    /// <summary>
    /// The inverse of <see cref="ToCommon"/>, to a nanosecond. What falls into a loss is the instant after it; of sound
    /// that came twice the first is meant.
    /// </summary>
    public MediaTime ToClip(MediaTime onCommon)
    {
        MediaTime elapsed = onCommon - Offset;
        MediaTime whole = elapsed - MediaTime.FromSeconds(elapsed.ToSeconds() * (Ppm * 1e-6 / (1 + (Ppm * 1e-6))));
        foreach (ClockJump jump in Jumps)
        {
            if (whole < jump.At)
            {
                return whole;
            }

            whole = MediaTime.Max(jump.At, whole - jump.Lost);
        }

        return whole;
    }

    /// <summary>
    /// The clip between the jumps of its clock, on its own clock, and the straight map of each stretch: one for nearly
    /// every clip.
    /// </summary>
    public IEnumerable<(TimeRange OnClip, ClockMap Map)> Stretches(MediaTime duration)
    {
        MediaTime start = MediaTime.Zero;
        var straight = new ClockMap(Offset, Ppm);
        foreach (ClockJump jump in Jumps)
        {
            yield return (TimeRange.Between(start, jump.At), straight);
            start = jump.At;
            straight = straight with { Offset = straight.ToCommon(jump.Lost) };
        }

        yield return (TimeRange.Between(start, duration), straight);
    }
}
