using System.Globalization;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>Whether a file holds all that its header says, and what to do where it does not.</summary>
internal static class Wholeness
{
    /// <summary>What ffprobe found, corrected by what the file really holds.</summary>
    /// <exception cref="IOException">The file cannot be read.</exception>
    internal static MediaInfo Check(MediaInfo media) => media.Format switch
    {
        "wav" => Wave(media),
        _ when media.Format.StartsWith("mov", StringComparison.Ordinal) => Movie(media),
        _ => media,
    };

    /// <summary>Why a movie has no index, as far as its boxes tell; null where it is no movie.</summary>
    internal static string? WithoutIndex(string fullPath)
    {
        using FileStream file = File.OpenRead(fullPath);
        return MovieBoxes.Read(file) is { HasIndex: false, HasMedia: var hasMedia }
            ? hasMedia
                ? "The file has no index: recording or copy broke off. Compare its size with the one on the card: if they differ, copy it again; "
                  + "if not, keep the card, for such a recording can often be rebuilt with a whole one of the same camera."
                : "The file has no index and no picture or sound: copy it again from the card."
            : null;
    }

    private static MediaInfo Wave(MediaInfo media)
    {
        using FileStream file = File.OpenRead(media.File.FullPath);
        if (WaveHeader.Read(file) is not { IsUncompressed: true, IsWrong: true } header)
        {
            return media;
        }

        var length = MediaTime.FromUnits(header.HeldBytes / header.BlockBytes, new Rate((int)Math.Min(header.SampleRateHz, int.MaxValue)));
        string claim = header.ClaimedSeconds is { } claimed
            ? string.Create(CultureInfo.InvariantCulture, $"its header says {claimed:0.0} s")
            : "its header was never finished";
        return media with
        {
            Duration = length,
            Audio = [.. media.Audio.Select(stream => stream with { Duration = length })],
            ReadsToEnd = true,
            Damage = string.Create(
                CultureInfo.InvariantCulture,
                $"The file holds {header.HeldSeconds:0.0} s of sound, but {claim}: the recorder lost power, or the copy broke off. All that is there was read. ")
                + "Compare its size with the one on the card, and listen to its end before the card is wiped.",
        };
    }

    private static MediaInfo Movie(MediaInfo media)
    {
        using FileStream file = File.OpenRead(media.File.FullPath);
        return MovieBoxes.Read(file) is { MissingBytes: > 0 and var missing }
            ? media with
            {
                Damage = string.Create(
                    CultureInfo.InvariantCulture,
                    $"The file ends {missing:N0} bytes before its picture and sound do, so its copy broke off: copy it again from the card."),
            }
            : media;
    }
}
