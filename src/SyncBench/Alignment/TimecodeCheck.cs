using System.Globalization;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>A clip's timecode held against its placement by sound.</summary>
/// <param name="Clock">The clip's own.</param>
/// <param name="Against">The clip whose timecode says what time it was, and its source.</param>
/// <param name="BySound">What that clip's timecode shows where sound says that this clip begins.</param>
/// <param name="Off">How much later the clip's own timecode is than that; what the device is always off by left in.</param>
/// <param name="DeviceOff">By how much all of the device's clips are off; zero where it was set to the same source.</param>
/// <param name="Tolerance">How far off is borne: half a frame, and what clocks that were never set drift apart.</param>
/// <param name="FrameRate">At which both are shown.</param>
public sealed record TimecodeCheck(
    StartClock Clock, Clip Against, StartClock AgainstClock, MediaTime BySound, MediaTime Off, MediaTime DeviceOff,
    MediaTime Tolerance, Rate FrameRate)
{
    /// <summary>Whether the clip agrees with sound, or with what its device is always off by.</summary>
    public bool Agrees => MediaTime.Abs(Off - DeviceOff) <= Tolerance;

    /// <summary>What the clip's timecode says of its first frame or sample.</summary>
    public string Label => Text(Clock.SinceMidnight);

    /// <summary>What sound says it should be.</summary>
    public string LabelBySound => Text(BySound);

    /// <summary>"10:00:05:03 by its timecode track, 10:00:05:00 by sound and RECORDER's LTC on channel 2: 3.0 frames late".</summary>
    public string InWords() => string.Create(
        CultureInfo.InvariantCulture,
        $"{Label} by its {Clock.InWords()}, {LabelBySound} by sound and {Against.Device.Name}'s {AgainstClock.InWords()}: {Frames(Off - DeviceOff, FrameRate)}");

    /// <summary>"3.0 frames late", "0:12:10 early".</summary>
    public static string Frames(MediaTime off, Rate frameRate)
    {
        double frames = Math.Abs(off.ToSeconds()) * frameRate.PerSecond;
        string much = frames < 1000
            ? string.Create(CultureInfo.InvariantCulture, $"{frames:0.0} frames")
            : TimeSpan.FromSeconds(Math.Round(Math.Abs(off.ToSeconds()))).ToString("c", CultureInfo.InvariantCulture);
        return off > MediaTime.Zero ? $"{much} late" : $"{much} early";
    }

    private string Text(MediaTime sinceMidnight) =>
        TimecodeFormat.Of(FrameRate, Clock.DropFrame).Format(sinceMidnight.ToNearestUnit(FrameRate));
}
