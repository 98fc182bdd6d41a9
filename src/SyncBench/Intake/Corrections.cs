using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Intake;

/// <summary>Where a person knows better than the analysis; all of it optional, all of it wins.</summary>
/// <param name="Mics">Mics to be heard, in no order.</param>
public sealed record Corrections(ImmutableArray<MicCorrection> Mics = default)
{
    public static Corrections None { get; } = new([]);

    /// <summary>What is wrong with them, as far as it can be told without the dump; null where nothing is.</summary>
    internal string? Wrong()
    {
        for (int i = 0; i < Mics.Length; i++)
        {
            if (Mics[i].Wrong() is { } wrong)
            {
                return $"{Mics[i]}: {wrong}";
            }

            for (int other = 0; other < i; other++)
            {
                if (Mics[other].Take == Mics[i].Take && !Mics[other].CommonRange.Intersect(Mics[i].CommonRange).IsEmpty)
                {
                    return $"{Mics[other]} and {Mics[i]} overlap";
                }
            }
        }

        return null;
    }
}

/// <summary>The mic to be heard in a stretch of a take.</summary>
/// <param name="Take">Counts from 1, as in the report.</param>
/// <param name="From">On the common clock of the report: "12:03", "0:12:03.5".</param>
/// <param name="Device">Tells mics of one kind apart; null where there is one.</param>
/// <param name="Channel">The same, of one device: counts from 1.</param>
public sealed record MicCorrection(
    int Take, MicRole Mic, string From, string To, string? Device = null, int? Channel = null)
{
    /// <summary>On the common clock.</summary>
    public TimeRange CommonRange => TimeRange.Between(At(From), At(To));

    public bool Names(Clip clip, MicChannel mic) =>
        mic.Role == Mic
        && (Device is null || string.Equals(clip.Device.Name, Device, StringComparison.Ordinal))
        && (Channel is null || mic.Channel + 1 == Channel);

    /// <summary>"mic correction of take 1, shotgun from 12:03 to 12:40".</summary>
    public override string ToString() => FormattableString.Invariant(
        $"mic correction of take {Take}, {Mic.InWords()} from {From} to {To}");

    internal string? Wrong() =>
        Take < 1 ? "takes count from 1"
        : Channel < 1 ? "channels count from 1"
        : ClockText.Parse(From) is not { } from ? $"\"{From}\" is no time such as 12:03 or 1:12:03.5"
        : ClockText.Parse(To) is not { } to ? $"\"{To}\" is no time such as 12:03 or 1:12:03.5"
        : to <= from ? "it ends before it begins"
        : null;

    private static MediaTime At(string text) => ClockText.Parse(text) ?? throw new FormatException($"\"{text}\" is no time.");
}
