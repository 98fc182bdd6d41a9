using System.Globalization;
using SyncBench.Intake;
using SyncBench.Media;

namespace SyncBench.Service.Jobs;

/// <summary>Whether the results of a dump will fit, told before hours are spent on it.</summary>
internal static class DiskRoom
{
    /// <summary>Left over for the log, the report and all else.</summary>
    private const long Spare = 256L << 20;

    /// <summary>Beside picture, sound is at most a tenth of a camera's file; a recorder's file is sound throughout (common practice).</summary>
    private const int PictureToSound = 10;

    private static readonly string[] SoundOnly = [".wav", ".bwf", ".rf64", ".flac", ".aif", ".aiff"];

    /// <exception cref="IOException">There is too little room in one of the folders; the message says how much is missing.</exception>
    internal static void Check(DumpListing dump, params string[] folders)
    {
        long needed = Spare + dump.Files.Sum(Sound);
        foreach (string folder in folders)
        {
            long free = new DriveInfo(folder).AvailableFreeSpace;
            if (free < needed)
            {
                throw new IOException(string.Create(
                    CultureInfo.InvariantCulture,
                    $"{folder}: {free >> 20:N0} MB are free, and this dump may need {needed >> 20:N0} MB. Make room; it runs again by itself."));
            }
        }
    }

    private static long Sound(MediaFile file) =>
        SoundOnly.Contains(Path.GetExtension(file.Name), StringComparer.OrdinalIgnoreCase) ? file.Bytes : file.Bytes / PictureToSound;
}
