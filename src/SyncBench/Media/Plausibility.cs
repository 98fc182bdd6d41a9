using System.Globalization;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>
/// Limits beyond which a header is damaged or made up: to follow it would take memory and time without end.
/// </summary>
internal static class Plausibility
{
    private const int LowestSampleRateHz = 4_000;
    private const int HighestSampleRateHz = 384_000;
    private const int MostChannels = 128;

    /// <summary>Twice the day after which time of day repeats.</summary>
    private static readonly MediaTime Longest = MediaTime.FromSeconds(48 * 3600);

    /// <returns>What is wrong and what to do; null where the header may be believed.</returns>
    internal static string? Problem(MediaInfo media)
    {
        CultureInfo plain = CultureInfo.InvariantCulture;
        string? claim =
            media.Audio.FirstOrDefault(stream => stream.SampleRateHz is < LowestSampleRateHz or > HighestSampleRateHz) is { } odd
                ? string.Create(plain, $"a sample rate of {odd.SampleRateHz} Hz")
            : media.Channels is < 0 or > MostChannels ? string.Create(plain, $"{media.Channels} channels of sound")
            : media.Duration > Longest ? string.Create(plain, $"a length of {media.Duration.ToSeconds() / 3600:0} hours")
            : null;
        return claim is null ? null : $"The file's header claims {claim}, so it is damaged: copy it again from the card.";
    }
}
