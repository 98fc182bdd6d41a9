using System.Collections.Immutable;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Intake.Integrity;
using SyncBench.Media;

namespace SyncBench.Pipeline;

/// <summary>
/// What a run has read of each file, sound and checksums, kept until the run is done: a run that was killed goes on from there.
/// </summary>
/// <remarks>
/// What is kept of a file is found by its path, size and time and by the build of the program, so anything that became another
/// finds nothing. Settings do not matter: nothing kept depends on them.
/// </remarks>
internal sealed class KeptReadings
{
    private static readonly string Program = typeof(KeptReadings).Module.ModuleVersionId.ToString();

    private readonly string _folder;

    /// <param name="folder">Is made where it is missing; whoever knows that the run is done deletes it.</param>
    internal KeptReadings(string folder)
    {
        Directory.CreateDirectory(folder);
        _folder = folder;
    }

    /// <summary>Where what is kept of the file lies, as it is now: to be asked before the file is read.</summary>
    internal string PathOf(MediaFile file)
    {
        string identity = string.Create(
            CultureInfo.InvariantCulture, $"{Program}\0{file.Path}\0{file.Bytes}\0{File.GetLastWriteTimeUtc(file.FullPath).Ticks}");
        return Path.Combine(_folder, Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(identity)).AsSpan(0, 12)));
    }

    /// <returns>Null where nothing, or nothing whole, is kept.</returns>
    internal static HeardSound? Sound(string path) => OrNull(() =>
    {
        using FileStream file = File.OpenRead(path + ".sound");
        return HeardSoundFile.Read(file, (channels, samples) => SoundStore.Open(channels, path, samples));
    });

    internal static void Keep(string path, HeardSound heard)
    {
        heard.Samples.FlushToDisk();
        WholeFile.Write(path + ".sound", stream => HeardSoundFile.Write(stream, heard));
    }

    /// <returns>Null where nothing is kept.</returns>
    internal static ImmutableArray<FileHash>? Hashes(string path) => OrNull<ImmutableArray<FileHash>?>(() =>
    [
        .. File.ReadAllLines(path + ".sums").Select(line => line.Split(' ')).Select(words => new FileHash(Enum.Parse<HashKind>(words[0]), words[1])),
    ]);

    internal static void Keep(string path, ImmutableArray<FileHash> hashes) => WholeFile.Write(
        path + ".sums", stream => stream.Write(Encoding.UTF8.GetBytes(string.Join('\n', hashes.Select(hash => $"{hash.Kind} {hash.Value}")))));

    private static T? OrNull<T>(Func<T> read)
    {
        try
        {
            return read();
        }
        catch (Exception none) when (none is IOException or InvalidDataException or UnauthorizedAccessException or ArgumentException)
        {
            return default; // it is read again: all that is lost is time
        }
    }
}
