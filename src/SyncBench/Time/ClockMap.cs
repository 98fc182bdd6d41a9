namespace SyncBench.Time;

/// <summary>
/// How a clip's own clock maps to the common clock: <c>t = Offset + (1 + Ppm·10⁻⁶)·t_clip</c>.
/// </summary>
/// <param name="Offset">Where the clip's time zero lies on the common clock.</param>
/// <param name="Ppm">
/// Parts per million by which a second of this clip's clock is longer than a second of the common clock.
/// </param>
public readonly record struct ClockMap(MediaTime Offset, double Ppm)
{
    /// <summary>The instant on the common clock, to the nearest nanosecond of the rate correction.</summary>
    public MediaTime ToCommon(MediaTime onClip) =>
        Offset + onClip + MediaTime.FromSeconds(onClip.ToSeconds() * Ppm * 1e-6);

    /// <summary>The inverse of <see cref="ToCommon"/>, to a nanosecond.</summary>
    public MediaTime ToClip(MediaTime onCommon)
    {
        MediaTime elapsed = onCommon - Offset;
        return elapsed - MediaTime.FromSeconds(elapsed.ToSeconds() * (Ppm * 1e-6 / (1 + (Ppm * 1e-6))));
    }
}
