using System.Globalization;
using SyncBench.Intake;
using SyncBench.Media;

namespace SyncBench.Service.Jobs;

/// <summary>Whether what a run writes will fit, told before hours are spent on it.</summary>
internal static class DiskRoom
{
    /// <summary>Left over for the log, the report and all else.</summary>
    private const long Spare = 256L << 20;

    /// <summary>Beside picture, sound is at most a tenth of a camera's file; a recorder's file is sound throughout (common practice).</summary>
    private const int PictureToSound = 10;

    /// <summary>
    /// A channel comes to the results at most once, in 24 bit; until the run is done it is kept as rendered, in 32 bit, and for
    /// longer as it was read, at a third of its rate and in 16. Together 2.6 times its bytes in 24 bit, or 3.8 in 16; but not
    /// all channels are in the results.
    /// </summary>
    private const int TimesTheSound = 3;

    private static readonly string[] SoundOnly = [".wav", ".bwf", ".rf64", ".flac", ".aif", ".aiff"];

    /// <param name="output">Where results go, and what is kept for the next run: what lies there of an earlier one is not needed anew.</param>
    /// <param name="state">Where only the log and small files grow.</param>
    /// <param name="makeRoom">Deletes what can be spared; called if there is too little.</param>
    /// <exception cref="IOException">There is too little room in one of the folders; the message says how much is missing.</exception>
    internal static void Check(DumpListing dump, string output, string state, Action makeRoom)
    {
        long needed = Math.Max(Spare, Spare + dump.Files.Sum(Written) - Kept(output));
        if (Free(output) < needed)
        {
            makeRoom();
        }

        Require(output, needed);
        Require(state, Spare);
    }

    private static void Require(string folder, long needed)
    {
        if (Free(folder) is var free && free < needed)
        {
            throw new IOException(string.Create(
                CultureInfo.InvariantCulture,
                $"{folder}: {free >> 20:N0} MB are free, and this dump may need {needed >> 20:N0} MB. Make room; it runs again by itself."));
        }
    }

    private static long Free(string folder) => new DriveInfo(folder).AvailableFreeSpace;

    private static long Kept(string output) => Directory.Exists(KeptFolders.Of(output))
        ? new DirectoryInfo(KeptFolders.Of(output)).EnumerateFiles().Sum(file => file.Length) : 0;

    private static long Written(MediaFile file) =>
        SoundOnly.Contains(Path.GetExtension(file.Name), StringComparer.OrdinalIgnoreCase) ? TimesTheSound * file.Bytes : file.Bytes / PictureToSound;
}
