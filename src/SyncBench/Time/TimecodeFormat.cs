using System.Globalization;

namespace SyncBench.Time;

/// <summary>How frames are numbered as hh:mm:ss:ff. Counting, not timing: the rate of the frames is a <see cref="Rate"/>.</summary>
/// <remarks>
/// SMPTE ST 12-1:2014 (from the project's notes on it, the text itself was not open to us): in drop-frame counting the
/// first two numbers of every minute are left out (four at 60 frames), except in minutes 0, 10, 20, 30, 40 and 50.
/// Counts wrap at 24 hours. The default value is not a format.
/// </remarks>
/// <param name="FramesPerSecond">Frame numbers in one counted second: 24, 25, 30, 50, 60.</param>
/// <param name="DropFrame">Whether numbers are left out so that the count keeps near clock time; only at 30 and 60.</param>
public readonly record struct TimecodeFormat(int FramesPerSecond, bool DropFrame)
{
    private int Dropped => DropFrame ? FramesPerSecond / 15 : 0;

    private long FramesPerMinute => (60L * FramesPerSecond) - Dropped;

    private long FramesPerTenMinutes => (10 * FramesPerMinute) + Dropped;

    public long FramesPerDay => 144 * FramesPerTenMinutes;

    /// <summary>
    /// The format of a frame rate. Drop-frame exists at 30000/1001 and 60000/1001 only; asked for elsewhere it is
    /// not given.
    /// </summary>
    public static TimecodeFormat Of(Rate frameRate, bool dropFrame)
    {
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

    /// <summary>Reads a label; ';' and ':' before the frames are both taken.</summary>
    /// <param name="frame">Frames since 00:00:00:00.</param>
    /// <returns>False for what is no label, and for numbers that drop-frame leaves out.</returns>
    public bool TryParse(string? label, out long frame)
    {
        frame = 0;
        string[] parts = (label ?? string.Empty).Split(':', ';');
        if (parts.Length != 4 || label!.Split(';').Length > 2 || (label.Contains(';') && label.LastIndexOf(':') > label.IndexOf(';')))
        {
            return false;
        }

        Span<int> values = stackalloc int[4];
        for (int i = 0; i < 4; i++)
        {
            if (parts[i].Length != 2 || !int.TryParse(parts[i], NumberStyles.None, CultureInfo.InvariantCulture, out values[i]))
            {
                return false;
            }
        }

        (int hours, int minutes, int seconds, int frames) = (values[0], values[1], values[2], values[3]);
        bool isLeftOut = frames < Dropped && seconds == 0 && minutes % 10 != 0;
        if (hours > 23 || minutes > 59 || seconds > 59 || frames >= FramesPerSecond || isLeftOut)
        {
            return false;
        }

        long minute = (60L * hours) + minutes;
        frame = (((minute * 60) + seconds) * FramesPerSecond) + frames - (Dropped * (minute - (minute / 10)));
        return true;
    }
}
