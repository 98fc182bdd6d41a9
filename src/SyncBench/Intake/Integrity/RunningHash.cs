using System.IO.Hashing;
using System.Security.Cryptography;

namespace SyncBench.Intake.Integrity;

/// <summary>A checksum of bytes that come piece by piece.</summary>
internal abstract class RunningHash : IDisposable
{
    internal static RunningHash Of(HashKind kind) => kind switch
    {
        HashKind.Xxh128 => new Fast(kind, new XxHash128()),
        HashKind.Xxh3 => new Fast(kind, new XxHash3()),
        HashKind.Xxh64 => new Fast(kind, new XxHash64()),
        HashKind.Md5 => new Cryptographic(kind, HashAlgorithmName.MD5),
        HashKind.Sha1 => new Cryptographic(kind, HashAlgorithmName.SHA1),
        _ => new Cryptographic(kind, HashAlgorithmName.SHA512),
    };

    internal static FileHash Of(HashKind kind, ReadOnlySpan<byte> bytes)
    {
        using RunningHash hash = Of(kind);
        hash.Append(bytes);
        return hash.Finish();
    }

    internal abstract void Append(ReadOnlySpan<byte> bytes);

    internal abstract FileHash Finish();

    public abstract void Dispose();

    private sealed class Fast(HashKind kind, NonCryptographicHashAlgorithm hash) : RunningHash
    {
        internal override void Append(ReadOnlySpan<byte> bytes) => hash.Append(bytes);

        internal override FileHash Finish() => new(kind, Convert.ToHexStringLower(hash.GetCurrentHash()));

        public override void Dispose()
        {
            // Nothing is held: the base class is for those that hold something of the system.
        }
    }

    private sealed class Cryptographic(HashKind kind, HashAlgorithmName name) : RunningHash
    {
        private readonly IncrementalHash _hash = IncrementalHash.CreateHash(name);

        internal override void Append(ReadOnlySpan<byte> bytes) => _hash.AppendData(bytes);

        internal override FileHash Finish()
        {
            byte[] digest = _hash.GetHashAndReset();
            return new FileHash(kind, kind == HashKind.C4 ? C4Id.OfSha512(digest) : Convert.ToHexStringLower(digest));
        }

        public override void Dispose() => _hash.Dispose();
    }
}
