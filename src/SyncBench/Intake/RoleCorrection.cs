using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>What a file is. Angle and mic hold for all files of its device.</summary>
/// <param name="File">Its path in the dump.</param>
/// <param name="Device">Name of the device that made this one file; null where it was found rightly.</param>
/// <param name="Angle">What its camera shows; null where it was found rightly.</param>
/// <param name="Mic">What <paramref name="Channel"/> carries, or every channel; null where it was found rightly.</param>
/// <param name="Channel">Counts from 1.</param>
public sealed record RoleCorrection(string File, string? Device = null, string? Angle = null, MicRole? Mic = null, int? Channel = null)
{
    /// <summary>"CAM_A/A001.MP4 is of CAM_B, its angle is close, its channel 1 is shotgun".</summary>
    public override string ToString() => $"{File} {string.Join(", ", Parts())}";

    internal string? Wrong() =>
        Channel is not null && Mic is null ? $"{File}: a channel needs its mic"
        : Device is null && Angle is null && Mic is null ? $"the correction of {File} says nothing of it"
        : Device is not null && string.IsNullOrWhiteSpace(Device) || Angle is not null && string.IsNullOrWhiteSpace(Angle)
            ? $"{File}: a name of a device or angle is empty"
        : Channel < 1 ? $"{this}: channels count from 1"
        : null;

    private IEnumerable<string> Parts()
    {
        if (Device is not null)
        {
            yield return $"is of {Device}";
        }

        if (Angle is not null)
        {
            yield return $"shows the angle {Angle}";
        }

        if (Mic is { } mic)
        {
            yield return FormattableString.Invariant($"has {mic.InWords()} on {(Channel is { } channel ? $"channel {channel}" : "every channel")}");
        }
    }
}
