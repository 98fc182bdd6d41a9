using System.Collections.Immutable;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace SyncBench.Time;

/// <summary>How frames are numbered as hh:mm:ss:ff. Counting, not timing: the rate of the frames is a <see cref="Rate"/>.</summary>
/// <remarks>
/// SMPTE ST 12-1 (by notes on it, the text itself was not open to us): in drop-frame counting the first two numbers of
/// every minute are left out (four at 60 frames), except in minutes 0, 10, 20, 30, 40 and 50. Counts wrap at 24 hours.
/// Above 30 frames the standard counts pairs of frames; files and programs count single ones, as here (from memory).
/// The default value is not a format.
/// </remarks>
/// <param name="FramesPerSecond">Frame numbers in one counted second: 24, 25, 30, 48, 50, 60.</param>
/// <param name="DropFrame">Whether numbers are left out so that the count keeps near clock time; only at 30 and 60.</param>
public readonly record struct TimecodeFormat(int FramesPerSecond, bool DropFrame)
{
    /// <summary>The frame rates that have timecode.</summary>
    public static ImmutableArray<Rate> FrameRates { get; } =
    [
        new(24_000, 1_001), new(24), Rate.Fps25, Rate.Ntsc30, new(30), new(48_000, 1_001), new(48), new(50),
        new(60_000, 1_001), new(60),
    ];

    /// <summary>
    /// Half the step between a whole rate and its 1000/1001. Files say 29.97 as 30000/1001, 2997/100 or as an average
    /// over the frames they hold; nearer than this they mean the same.
    /// </summary>
    private const double SameRate = 0.0005;

    private int Dropped => DropFrame ? FramesPerSecond / 15 : 0;

    private long FramesPerMinute => (60L * FramesPerSecond) - Dropped;

    private long FramesPerTenMinutes => (10 * FramesPerMinute) + Dropped;

    public long FramesPerDay => 144 * FramesPerTenMinutes;

    /// <summary>The rate with timecode that a file's stated rate stands for; null where there is none.</summary>
    public static Rate? Standard(Rate frameRate)
    {
        Rate nearest = Nearest(frameRate);
        return Math.Abs((nearest.PerSecond / frameRate.PerSecond) - 1) < SameRate ? nearest : null;
    }

    /// <summary>The rate with timecode that lies nearest.</summary>
    public static Rate Nearest(Rate frameRate) =>
        FrameRates.MinBy(rate => Math.Abs(rate.PerSecond - frameRate.PerSecond));

    /// <summary>The numbering of a rate of <see cref="FrameRates"/>.</summary>
    /// <param name="dropFrame">Asked for where there is no drop-frame (all but 29.97 and 59.94), it is not given.</param>
    /// <exception cref="ArgumentOutOfRangeException">The rate has no timecode.</exception>
    public static TimecodeFormat Of(Rate frameRate, bool dropFrame)
    {
        if (!FrameRates.Contains(frameRate))
        {
            throw new ArgumentOutOfRangeException(nameof(frameRate), frameRate, "There is no timecode at this rate.");
        }

        int counted = (int)Math.Round(frameRate.PerSecond);
        return new TimecodeFormat(counted, dropFrame && frameRate.Denominator == 1001 && counted % 30 == 0);
    }

    /// <summary>Writes a frame count as a label; drop-frame labels have ';' before the frames.</summary>
    public string Format(long frame)
    {
        long count = ((frame % FramesPerDay) + FramesPerDay) % FramesPerDay;
        long tens = count / FramesPerTenMinutes, inTen = count % FramesPerTenMinutes;
        long minutesPastTen = inTen < 60L * FramesPerSecond ? 0 : (inTen - Dropped) / FramesPerMinute;
        long number = count + (Dropped * ((9 * tens) + minutesPastTen));
        long seconds = number / FramesPerSecond;
        char separator = DropFrame ? ';' : ':';
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{seconds / 3600:00}:{seconds / 60 % 60:00}:{seconds % 60:00}{separator}{number % FramesPerSecond:00}");
    }

    /// <summary>Reads a label; before the frames ';' and ':' are both taken, since strict lists write ':' always.</summary>
    /// <param name="frame">Frames since 00:00:00:00.</param>
    /// <param name="problem">What is wrong, in words that fit behind the name of a file.</param>
    /// <returns>False for what is no label, and for numbers that drop-frame leaves out.</returns>
    public bool TryParse(string? label, out long frame, [NotNullWhen(false)] out string? problem)
    {
        frame = 0;
        if (label is not { Length: 11 } || label[2] != ':' || label[5] != ':' || label[8] is not (':' or ';')
            || !TwoDigits(label, 0, out int hours) || !TwoDigits(label, 3, out int minutes)
            || !TwoDigits(label, 6, out int seconds) || !TwoDigits(label, 9, out int frames))
        {
            problem = $"\"{label}\" is not of the form hh:mm:ss:ff";
            return false;
        }

        problem = Contradiction(label, hours, minutes, seconds, frames);
        if (problem is not null)
        {
            return false;
        }

        long minute = (60L * hours) + minutes;
        frame = (((minute * 60) + seconds) * FramesPerSecond) + frames - (Dropped * (minute - (minute / 10)));
        return true;
    }

    private string? Contradiction(string label, int hours, int minutes, int seconds, int frames) =>
        hours > 23 || minutes > 59 || seconds > 59 ? $"\"{label}\" is no time of day"
        : frames >= FramesPerSecond ? $"\"{label}\" has a frame number beyond the {FramesPerSecond} of a second"
        : frames < Dropped && seconds == 0 && minutes % 10 != 0 ? $"\"{label}\" is left out in drop-frame counting"
        : null;

    private static bool TwoDigits(string label, int at, out int value) =>
        int.TryParse(label.AsSpan(at, 2), NumberStyles.None, CultureInfo.InvariantCulture, out value);
}
