using System.Collections.Immutable;
using System.Text;
using SyncBench.Alignment;
using SyncBench.Intake.Integrity;

namespace SyncBench.Pipeline;

/// <summary>What is kept of a file that was read, sound and checksums. Settings do not matter: nothing of it depends on them.</summary>
internal static class KeptReadings
{
    internal static HeardSound Sound(string path) => KeptFolder.Read(
        path + ".sound", file => HeardSoundFile.Read(file, (channels, samples, hash) => SoundStore.Open(channels, path, samples, hash)));

    internal static void Keep(string path, HeardSound heard)
    {
        heard.Samples.FlushToDisk();
        KeptFolder.Write(path + ".sound", stream => HeardSoundFile.Write(stream, heard));
    }

    /// <returns>Null where nothing, or nothing whole, is kept.</returns>
    internal static ImmutableArray<FileHash>? Hashes(string path)
    {
        try
        {
            string lines = KeptFolder.Read(path + ".sums", file => new StreamReader(file).ReadToEnd());
            return [.. lines.Split('\n').Select(line => line.Split(' ')).Select(words => new FileHash(Enum.Parse<HashKind>(words[0]), words[1]))];
        }
        catch (Exception none) when (none is IOException or InvalidDataException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    internal static void Keep(string path, ImmutableArray<FileHash> hashes) => KeptFolder.Write(
        path + ".sums", stream => stream.Write(Encoding.UTF8.GetBytes(string.Join('\n', hashes.Select(hash => $"{hash.Kind} {hash.Value}")))));
}
