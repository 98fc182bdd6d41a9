using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using SyncBench.Intake;
using SyncBench.Media;

namespace SyncBench.Service.Jobs;

/// <summary>Names, sizes and times of a dump's files in one short word: another word, another content.</summary>
internal static class DumpFingerprint
{
    internal static string Of(DumpListing dump)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        foreach (MediaFile file in dump.Files)
        {
            hash.AppendData(Encoding.UTF8.GetBytes(string.Create(
                CultureInfo.InvariantCulture, $"{file.Path}\0{file.Bytes}\0{File.GetLastWriteTimeUtc(file.FullPath).Ticks}\0")));
        }

        return Convert.ToHexStringLower(hash.GetHashAndReset());
    }
}
