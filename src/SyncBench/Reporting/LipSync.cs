using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Reporting;

/// <summary>What the way of sound to a camera does to its picture where nobody said how far the camera stood.</summary>
internal static class LipSync
{
    /// <summary>Metres per second in air at 20 °C (331.3 m/s at 0 °C, growing with the root of the temperature; from memory).</summary>
    private const double SpeedOfSound = 343.2;

    /// <summary>Milliseconds; ITU-R BT.1359-1, thresholds of detectability: sound early, sound late.</summary>
    private const double SoundEarly = 45, SoundLate = 125;

    /// <summary>One sentence for the cameras of a take; nothing where every distance is known.</summary>
    internal static HtmlText Of(Take take)
    {
        string[] cameras = [.. take.Placements.Select(placement => placement.Clip.Device).Distinct()
            .Where(device => device is { Kind: DeviceKind.Camera, DistanceMetres: null })
            .Select(device => device.Name).Order(StringComparer.Ordinal)];
        return cameras.Length == 0 ? HtmlText.Nothing : $"""
            <p class="note">Lip-sync: no distance is set for {string.Join(" and ", cameras)}, so the picture sits early, and the sound late against it, by {1000 / SpeedOfSound:0.0} ms for each metre between talker and camera (at 20 °C); ITU-R BT.1359-1 puts the point at which viewers notice at {SoundLate:0} ms late and {SoundEarly:0} ms early, so the late limit would be reached at {Far()} metres.</p>

            """;
    }

    private static string Far() => Math.Floor(SoundLate / 1000 * SpeedOfSound).ToString("0", CultureInfo.InvariantCulture);
}
