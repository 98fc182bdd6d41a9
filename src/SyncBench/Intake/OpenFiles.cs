using System.Globalization;

namespace SyncBench.Intake;

/// <summary>Files that a program of this machine has open for writing, as Linux tells under /proc; elsewhere none is known.</summary>
internal static class OpenFiles
{
    private const int AccessMask = 3; // man 2 open: O_RDONLY is 0, O_WRONLY 1, O_RDWR 2

    /// <returns>The first of the files that somebody writes; null where nobody is known to.</returns>
    internal static string? WrittenIn(IEnumerable<string> fullPaths)
    {
        if (!OperatingSystem.IsLinux())
        {
            return null;
        }

        var asked = fullPaths.ToHashSet(StringComparer.Ordinal);
        return Directory.EnumerateDirectories("/proc")
            .Where(process => int.TryParse(Path.GetFileName(process), NumberStyles.None, CultureInfo.InvariantCulture, out _))
            .SelectMany(Written).FirstOrDefault(asked.Contains);
    }

    private static List<string> Written(string process)
    {
        var written = new List<string>();
        try
        {
            foreach (string descriptor in Directory.EnumerateFileSystemEntries(Path.Combine(process, "fd")))
            {
                if (new FileInfo(descriptor).LinkTarget is { } path && path.StartsWith('/') && IsForWriting(process, Path.GetFileName(descriptor)))
                {
                    written.Add(path);
                }
            }
        }
        catch (Exception closed) when (closed is IOException or UnauthorizedAccessException)
        {
            return written; // the process ended, or belongs to somebody else
        }

        return written;
    }

    private static bool IsForWriting(string process, string descriptor)
    {
        string? flags = File.ReadLines(Path.Combine(process, "fdinfo", descriptor))
            .FirstOrDefault(line => line.StartsWith("flags:", StringComparison.Ordinal));
        return flags is not null && (Convert.ToInt32(flags[6..].Trim(), 8) & AccessMask) != 0;
    }
}
