using System.Globalization;

namespace SyncBench.Worker.Commands;

/// <summary>How much of a dump was read for its checksums, and how fast.</summary>
internal static class BytesRead
{
    /// <summary>"12.3 of 64.0 GB, 183 MB/s"; no rate yet in the first second.</summary>
    internal static string InWords(long bytesDone, long bytesAll, TimeSpan elapsed)
    {
        string done = string.Create(CultureInfo.InvariantCulture, $"{bytesDone / 1e9:0.0} of {bytesAll / 1e9:0.0} GB");
        return elapsed.TotalSeconds < 1 ? done : string.Create(CultureInfo.InvariantCulture, $"{done}, {bytesDone / 1e6 / elapsed.TotalSeconds:0} MB/s");
    }
}
