using System.Globalization;
using System.Text.RegularExpressions;

namespace SyncBench.Time;

/// <summary>Times of the common clock as people write them: "12:03", "1:02:03", "0:12:03.5".</summary>
public static partial class ClockText
{
    /// <summary>
    /// Minutes and seconds, or hours, minutes and seconds, with decimals of a second if need be; beyond the first field
    /// two digits below 60 each. Null where the text is none of these.
    /// </summary>
    public static MediaTime? Parse(string text)
    {
        Match match = Form().Match(text);
        if (!match.Success)
        {
            return null;
        }

        long Field(string name) => match.Groups[name].Success ? long.Parse(match.Groups[name].ValueSpan, CultureInfo.InvariantCulture) : 0;
        string decimals = match.Groups["decimals"].Value.PadRight(9, '0');
        long seconds = (((Field("h") * 60) + Field("m")) * 60) + Field("s");
        return MediaTime.FromUnits(seconds, new Rate(1))
            + MediaTime.FromUnits(long.Parse(decimals, CultureInfo.InvariantCulture), new Rate(1_000_000_000));
    }

    /// <summary>"1:02:03".</summary>
    public static string Of(long seconds) =>
        string.Create(CultureInfo.InvariantCulture, $"{seconds / 3600}:{seconds / 60 % 60:00}:{seconds % 60:00}");

    [GeneratedRegex(@"^((?<h>[0-9]{1,3}):(?<m>[0-5][0-9])|(?<m>[0-9]{1,3})):(?<s>[0-5][0-9])(\.(?<decimals>[0-9]{1,9}))?\z",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.NonBacktracking)]
    private static partial Regex Form();
}
