using System.Text.Json.Serialization;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Intake;

/// <summary>The mic to be heard in a stretch of a take.</summary>
/// <param name="Take">Counts from 1, as in the report.</param>
/// <param name="From">On the common clock of the report: "12:03", "0:12:03.5".</param>
/// <param name="Device">Tells mics of one kind apart; null where there is one.</param>
/// <param name="Channel">The same, of one device: counts from 1.</param>
/// <param name="Clock">Which report's clock is meant; null for that of the coming run.</param>
public sealed record MicCorrection(
    int Take, MicRole Mic, string From, string To, string? Device = null, int? Channel = null, ClockMark? Clock = null)
{
    /// <summary>On the common clock.</summary>
    [JsonIgnore]
    public TimeRange CommonRange => TimeRange.Between(At(From) + Shift, At(To) + Shift);

    /// <summary>By how much the common clock begins earlier now than when the correction was made.</summary>
    private MediaTime Shift { get; init; }

    public bool Names(Clip clip, MicChannel mic) =>
        mic.Role == Mic
        && (Device is null || string.Equals(clip.Device.Name, Device, StringComparison.Ordinal))
        && (Channel is null || mic.Channel + 1 == Channel);

    /// <summary>The same stretch of sound where an earlier card has come since, so that clock and takes begin anew.</summary>
    /// <param name="start">Where the file of <see cref="Clock"/> begins now.</param>
    /// <param name="take">Number of the take that rolls at a time on the common clock; null where none does.</param>
    public MicCorrection Moved(MediaTime start, Func<MediaTime, int?> take)
    {
        MicCorrection moved = this with { Shift = start - MediaTime.FromSeconds(Clock!.StartS) };
        return moved with { Take = take(moved.CommonRange.Start) ?? Take };
    }

    /// <summary>"mic correction of take 1, shotgun from 12:03 to 12:40".</summary>
    public override string ToString() => FormattableString.Invariant(
        $"mic correction of take {Take}, {Mic.InWords()} from {From} to {To}");

    internal bool Overlaps(MicCorrection other) =>
        Take == other.Take && Clock == other.Clock && !CommonRange.Intersect(other.CommonRange).IsEmpty;

    internal string? Wrong() =>
        Take < 1 ? "takes count from 1"
        : Channel < 1 ? "channels count from 1"
        : ClockText.Parse(From) is not { } from ? $"\"{From}\" is no time such as 12:03 or 1:12:03.5"
        : ClockText.Parse(To) is not { } to ? $"\"{To}\" is no time such as 12:03 or 1:12:03.5"
        : to <= from ? "it ends before it begins"
        : Clock is { StartS: not (>= 0 and <= ClockMark.LatestS) } ? "start_s of its clock is seconds, 0 to a year"
        : null;

    private static MediaTime At(string text) => ClockText.Parse(text) ?? throw new FormatException($"\"{text}\" is no time.");
}

/// <summary>Tells one report's clock from another's, for it begins with the earliest file that was there.</summary>
/// <param name="File">Of the dump.</param>
/// <param name="StartS">Where it began in that report, in seconds.</param>
public sealed record ClockMark(string File, double StartS)
{
    internal const double LatestS = 366 * 86_400.0;
}
