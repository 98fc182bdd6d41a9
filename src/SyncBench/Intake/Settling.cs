using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>Whether a dump is still: nobody copies into it any more.</summary>
/// <param name="IsStill">Nothing changed for the quiet time, and nothing looks like a copy going on.</param>
/// <param name="Reason">What it waits for, in the reader's words.</param>
public sealed record SettlingState(bool IsStill, string Reason);

/// <summary>
/// Watches one dump, look by look: it is still when sizes and times of all files, and the list of them, have stayed for a quiet
/// time, no file is named as copies going on are, and no program of this machine has one open for writing.
/// </summary>
/// <remarks>By looking, so that it works on network shares, where events of other machines are not told.</remarks>
public sealed class Settling(string dumpFolder, TimeSpan quietTime, TimeProvider clock)
{
    private static readonly ImmutableArray<string> NamesOfCopiesGoingOn = [".part", ".partial", ".tmp", ".filepart", ".crdownload"];

    private ImmutableArray<(MediaFile File, DateTime Changed)> _last = [];
    private long _lastChange = clock.GetTimestamp();

    /// <summary>Looks once. The quiet time begins anew whenever a look differs from the one before.</summary>
    public SettlingState Look()
    {
        ImmutableArray<(MediaFile File, DateTime Changed)> now;
        try
        {
            now = [.. DumpLister.List(dumpFolder).Files.Select(file => (file, File.GetLastWriteTimeUtc(file.FullPath)))];
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            Restart([]);
            return new SettlingState(false, $"the folder cannot be read ({gone.Message.TrimEnd('.')})");
        }

        if (!now.SequenceEqual(_last))
        {
            Restart(now);
        }

        TimeSpan quiet = clock.GetElapsedTime(_lastChange);
        return now.IsEmpty ? new SettlingState(false, "the folder holds no files yet")
            : now.Select(entry => entry.File).FirstOrDefault(IsCopyGoingOn) is { } part
                ? new SettlingState(false, $"{part.Path} is named as copies going on are")
            : quiet < quietTime
                ? new SettlingState(false, string.Create(
                    CultureInfo.InvariantCulture, $"the last change was {quiet.TotalSeconds:0} s ago; it has to be still for {quietTime.TotalSeconds:0} s"))
            : OpenFiles.WrittenIn(now.Select(entry => entry.File.FullPath)) is { } open
                ? new SettlingState(false, $"{Path.GetRelativePath(dumpFolder, open)} is open for writing")
            : new SettlingState(true, "nothing changes any more");
    }

    internal static bool IsCopyGoingOn(MediaFile file) =>
        NamesOfCopiesGoingOn.Contains(Path.GetExtension(file.Name), StringComparer.OrdinalIgnoreCase);

    private void Restart(ImmutableArray<(MediaFile File, DateTime Changed)> now)
    {
        _last = now;
        _lastChange = clock.GetTimestamp();
    }
}
