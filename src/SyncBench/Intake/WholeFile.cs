namespace SyncBench.Intake;

/// <summary>A file that appears whole or not at all: written under another name, flushed, renamed.</summary>
public static class WholeFile
{
    /// <summary>Makes the folder where it is missing. Where writing breaks off, the old file stays and nothing is left beside it.</summary>
    /// <exception cref="IOException">The disk is full or gone.</exception>
    public static void Write(string fullPath, Action<Stream> write)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(fullPath)!);
        string part = fullPath + ".part";
        try
        {
            using (FileStream stream = File.Create(part))
            {
                write(stream);
                stream.Flush(flushToDisk: true);
            }

            File.Move(part, fullPath, overwrite: true);
        }
        catch
        {
            File.Delete(part);
            throw;
        }
    }
}
