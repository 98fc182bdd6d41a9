using System.Globalization;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>How figures are rounded and written, the same in every file and under every culture.</summary>
internal static class Figures
{
    /// <summary>Times in CSV files carry microseconds: a fifth of a sample at 192 kHz.</summary>
    internal const string SecondsFormat = "0.000000";

    /// <summary>Seconds to the nearest nanosecond, never a negative zero.</summary>
    internal static decimal Seconds(MediaTime time) => Rounded((decimal)time.Numerator / time.Denominator, 9);

    internal static decimal Milliseconds(MediaTime time) => Rounded((decimal)time.Numerator * 1000 / time.Denominator, 6);

    /// <summary>Null where the number is not finite, so that no file ever holds NaN or an infinity.</summary>
    internal static decimal? Finite(double number, int decimals) =>
        double.IsFinite(number) && Math.Abs(number) < 1e15 ? Rounded((decimal)number, decimals) : null;

    /// <summary>"1:02:03", hours always shown, so that columns of times line up.</summary>
    internal static string Clock(MediaTime time)
    {
        long seconds = MediaTime.Abs(time).ToNearestUnit(new Rate(1));
        string sign = time < MediaTime.Zero && seconds > 0 ? "−" : string.Empty;
        return sign + ClockText.Of(seconds);
    }

    /// <summary>"1:02:03.456".</summary>
    internal static string ClockWithMilliseconds(MediaTime time)
    {
        long ms = MediaTime.Abs(time).ToNearestUnit(new Rate(1000));
        string sign = time < MediaTime.Zero && ms > 0 ? "−" : string.Empty;
        return string.Create(CultureInfo.InvariantCulture, $"{sign}{ClockText.Of(ms / 1000)}.{ms % 1000:000}");
    }

    /// <summary>"48.9 s", "6 min 40 s", "1 h 02 min".</summary>
    /// <remarks>Here and below a no-break space holds number and unit together, for they stand in running text.</remarks>
    internal static string Length(MediaTime time)
    {
        long tenths = time.ToNearestUnit(new Rate(10)), seconds = time.ToNearestUnit(new Rate(1));
        return seconds switch
        {
            < 60 => string.Create(CultureInfo.InvariantCulture, $"{tenths / 10m:0.0}\u00a0s"),
            < 3600 => string.Create(CultureInfo.InvariantCulture, $"{seconds / 60}\u00a0min\u00a0{seconds % 60:00}\u00a0s"),
            _ => string.Create(CultureInfo.InvariantCulture, $"{seconds / 3600}\u00a0h\u00a0{seconds / 60 % 60:00}\u00a0min"),
        };
    }

    /// <summary>"+12.43", "−0.50", "0.00"; a dash where there is no number.</summary>
    internal static string Signed(double number, int decimals)
    {
        if (Finite(number, decimals) is not { } rounded)
        {
            return "–";
        }

        string digits = Math.Abs(rounded).ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return (rounded > 0 ? "+" : rounded < 0 ? "−" : string.Empty) + digits;
    }

    /// <summary>The same without its sign.</summary>
    internal static string Magnitude(double number, int decimals) => Signed(number, decimals).TrimStart('+', '−');

    /// <summary>A probability as a percentage, rounded down, so that nothing uncertain reads as 100 %.</summary>
    internal static string Percent(double probability) => probability switch
    {
        >= 0.9999 => "over 99.99\u00a0%",
        >= 0 => string.Create(CultureInfo.InvariantCulture, $"{Math.Floor(probability * 1e4) / 100:0.##}\u00a0%"),
        _ => "–",
    };

    internal static string Bytes(long bytes) => bytes switch
    {
        >= 1_000_000_000 => string.Create(CultureInfo.InvariantCulture, $"{bytes / 1e9:0.0}\u00a0GB"),
        >= 1_000_000 => string.Create(CultureInfo.InvariantCulture, $"{bytes / 1e6:0.0}\u00a0MB"),
        _ => string.Create(CultureInfo.InvariantCulture, $"{bytes / 1e3:0.0}\u00a0kB"),
    };

    private static decimal Rounded(decimal number, int decimals)
    {
        decimal rounded = Math.Round(number, decimals);
        return rounded == 0 ? 0 : rounded;
    }
}
