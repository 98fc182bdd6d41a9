using SyncBench.Intake;

namespace SyncBench.Pipeline;

/// <summary>Where results go. Each file appears whole or not at all: written under another name, flushed, renamed.</summary>
public sealed class OutputFolder
{
    private readonly List<string> _written = [];

    private OutputFolder(string fullPath) => FullPath = fullPath;

    public string FullPath { get; }

    /// <summary>Names of the files that were written so far.</summary>
    public IReadOnlyList<string> Written => _written;

    /// <summary>Makes the folder where it is missing.</summary>
    /// <exception cref="RunRefusedException">There is no dump, or the folder lies in it, or cannot be made.</exception>
    public static OutputFolder Open(string path, string dumpFolder)
    {
        string dumpRoot = Path.TrimEndingDirectorySeparator(Path.GetFullPath(dumpFolder));
        if (!Directory.Exists(dumpRoot))
        {
            throw new RunRefusedException($"{dumpFolder}: there is no such folder. Check the path.", wrongUsage: true);
        }

        if (string.IsNullOrWhiteSpace(path))
        {
            throw new RunRefusedException("The output folder has no name. Say where results go, outside the dump.", wrongUsage: true);
        }

        string full = Path.TrimEndingDirectorySeparator(Path.GetFullPath(path));
        if (full == dumpRoot || full.StartsWith(dumpRoot + Path.DirectorySeparatorChar, StringComparison.Ordinal))
        {
            throw new RunRefusedException(
                $"{path}: the output folder lies inside the dump, and a dump is never written to. Choose a folder outside {dumpRoot}.",
                wrongUsage: true);
        }

        try
        {
            Directory.CreateDirectory(full);
        }
        catch (Exception wrong) when (wrong is IOException or UnauthorizedAccessException)
        {
            throw new RunRefusedException($"{path}: the output folder cannot be made ({wrong.Message}) Choose another.", wrongUsage: false, cause: wrong);
        }

        return new OutputFolder(full);
    }

    /// <param name="name">Relative, with '/' between its parts: "report/index.html".</param>
    public void Write(string name, Action<Stream> write)
    {
        WholeFile.Write(Path.Combine(FullPath, name), write);
        _written.Add(name);
    }

    /// <summary>Text in UTF-8 without a byte order mark; line ends are left as the writer makes them.</summary>
    public void WriteText(string name, Action<TextWriter> write) => Write(name, stream =>
    {
        using var text = new StreamWriter(stream, leaveOpen: true);
        write(text);
    });
}
