using System.Collections.Concurrent;
using System.Globalization;
using System.IO.Hashing;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using SyncBench.Intake;
using SyncBench.Media;

namespace SyncBench.Pipeline;

/// <summary>
/// What runs over a dump have found out, so that the next one, after a kill, a new card or a correction, works out only what is new.
/// </summary>
/// <remarks>
/// Everything is found by a hash of all that it was made from: the build of the program, the files as they were, settings, what
/// went before. So what was made from anything else is not found. Each file is whole or not there, and says by a hash of its own
/// whether it is still what was written: what is damaged counts as missing.
/// </remarks>
internal sealed class KeptFolder
{
    private const int HashBytes = 16;
    private static readonly string Program = typeof(KeptFolder).Module.ModuleVersionId.ToString();

    private readonly string _folder;
    private readonly ConcurrentDictionary<MediaFile, string> _identities = new();
    private readonly ConcurrentDictionary<string, bool> _used = new();
    private readonly JsonSerializerOptions _keys;
    private volatile bool _found, _missed;

    /// <param name="folder">Is made where it is missing.</param>
    internal KeptFolder(string folder)
    {
        Directory.CreateDirectory(folder);
        _folder = folder;
        _keys = StageJson.Format(new TextJson<MediaFile>(IdentityOf, _ => throw new NotSupportedException()));
    }

    /// <summary>Where what is kept of the file lies, as it was when it was first asked for: to be asked before the file is read.</summary>
    internal string PathOf(MediaFile file) => PathOf("file", file);

    /// <summary>Where the outcome of a stage lies that is made from all of this.</summary>
    internal string PathOf(string stage, params object[] madeFrom)
    {
        byte[] key = SHA256.HashData([.. Encoding.UTF8.GetBytes($"{Program}\0{stage}\0"), .. JsonSerializer.SerializeToUtf8Bytes(madeFrom, _keys)]);
        string name = Convert.ToHexStringLower(key.AsSpan(0, 12));
        _used[name] = true;
        return Path.Combine(_folder, name);
    }

    /// <param name="read">Of a path that <see cref="PathOf(MediaFile)"/> gave.</param>
    /// <returns>Null where nothing, or nothing whole, is kept.</returns>
    internal T? Find<T>(string path, Func<string, T?> read)
        where T : class
    {
        T? found = null;
        try
        {
            found = read(path);
        }
        catch (Exception none) when (none is IOException or InvalidDataException or UnauthorizedAccessException or ArgumentException
            or JsonException or KeyNotFoundException)
        {
            // It is worked out again: all that is lost is time.
        }

        _found |= found is not null;
        _missed |= found is null;
        return found;
    }

    /// <summary>Whether something was looked for since the last time that this was asked, and all of it had been kept.</summary>
    internal bool HadAll()
    {
        bool all = _found && !_missed;
        (_found, _missed) = (false, false);
        return all;
    }

    /// <summary>
    /// To be called when the run is done: what it had no use for goes, and so does the sound of dialogues, of which there is as
    /// much as of the results. What cannot be deleted yet stays until all of it goes.
    /// </summary>
    internal void Tidy()
    {
        foreach (string path in Directory.EnumerateFiles(_folder))
        {
            string[] name = Path.GetFileName(path).Split('.');
            if (!_used.ContainsKey(name[0]) || name[^1] == "part" || KeptDialogues.IsOne(path))
            {
                Delete(path);
            }
        }
    }

    private static void Delete(string path)
    {
        try
        {
            File.Delete(path);
        }
        catch (Exception left) when (left is IOException or UnauthorizedAccessException)
        {
            // The results are there: a share that holds on to an open file does not make the run fail.
        }
    }

    internal static void Write(string path, Action<Stream> write) => WholeFile.Write(path, stream =>
    {
        stream.Position = HashBytes;
        write(stream);
        byte[] hash = HashOf(stream);
        stream.Position = 0;
        stream.Write(hash);
    });

    /// <exception cref="IOException">There is none.</exception>
    /// <exception cref="InvalidDataException">It is not what was written.</exception>
    internal static T Read<T>(string path, Func<Stream, T> read)
    {
        using FileStream file = File.OpenRead(path);
        byte[] hash = new byte[HashBytes];
        file.ReadExactly(hash);
        if (!HashOf(file).AsSpan().SequenceEqual(hash))
        {
            throw new InvalidDataException($"{path} is damaged.");
        }

        file.Position = HashBytes;
        return read(file);
    }

    private static byte[] HashOf(Stream file)
    {
        file.Position = HashBytes;
        var hash = new XxHash128();
        hash.Append(file);
        return hash.GetHashAndReset();
    }

    /// <summary>Another file of the same place, size and time of writing is told by its number and by when it was put there.</summary>
    private string IdentityOf(MediaFile file) => _identities.GetOrAdd(file, static one => string.Create(
        CultureInfo.InvariantCulture,
        $"{one.FullPath}\0{one.Bytes}\0{File.GetLastWriteTimeUtc(one.FullPath).Ticks}\0{StatX.Identity(one.FullPath)}"));
}
