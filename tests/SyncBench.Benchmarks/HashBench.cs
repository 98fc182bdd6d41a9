using System.Diagnostics;
using System.Globalization;
using SyncBench.Intake.Integrity;

namespace SyncBench.Benchmarks;

/// <summary>Checksums of one file against <c>cat FILE >/dev/null</c>, interleaved in one run, from memory and from disk.</summary>
internal static class HashBench
{
    private const long UsualBytes = 2L << 30, QuickBytes = 64L << 20;
    private const int UsualRounds = 7, QuickRounds = 1;

    internal static async Task<int> RunAsync(bool quick)
    {
        (long bytes, int rounds) = quick ? (QuickBytes, QuickRounds) : (UsualBytes, UsualRounds);
        string path = Path.Combine(Path.GetTempPath(), $"syncbench-hash-{Environment.ProcessId}.bin");
        await MakeAsync(path, bytes);
        try
        {
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"one file of {bytes / 1e9:0.0} GB, best of {rounds} interleaved rounds, {Environment.ProcessorCount} cores"));
            await RowsAsync(path, fromDisk: false, [HashKind.Xxh128, HashKind.Md5, HashKind.Sha1, HashKind.C4], rounds);
            await RowsAsync(path, fromDisk: true, [HashKind.Xxh128], rounds);
            return 0;
        }
        finally
        {
            File.Delete(path);
        }
    }

    private static async Task RowsAsync(string path, bool fromDisk, HashKind[] kinds, int rounds)
    {
        var cat = new List<double>();
        var ours = kinds.ToDictionary(kind => kind, _ => new List<double>());
        for (int round = 0; round < rounds; round++)
        {
            cat.Add(await TimeAsync(path, fromDisk, () => ShellAsync("cat \"$1\" >/dev/null", path)));
            foreach (HashKind kind in kinds)
            {
                ours[kind].Add(await TimeAsync(
                    path, fromDisk, () => FileHasher.HashAsync(path, [kind], null, CancellationToken.None)));
            }
        }

        string from = fromDisk ? "from disk" : "from memory";
        long bytes = new FileInfo(path).Length;
        Print($"cat {from}", bytes, cat.Min(), null);
        foreach (HashKind kind in kinds)
        {
            Print($"{kind.InMhl()} {from}", bytes, ours[kind].Min(), ours[kind].Min() / cat.Min());
        }
    }

    private static void Print(string what, long bytes, double seconds, double? ratio) => Console.WriteLine(string.Create(
        CultureInfo.InvariantCulture,
        $"{what,-20} {bytes / seconds / 1e9,6:0.00} GB/s   {(ratio is { } r ? $"ratio to cat {r.ToString("0.00", CultureInfo.InvariantCulture)}" : string.Empty)}"));

    private static async Task<double> TimeAsync(string path, bool fromDisk, Func<Task> work)
    {
        if (fromDisk)
        {
            await ShellAsync("dd of=\"$1\" oflag=nocache conv=notrunc,fdatasync count=0 status=none", path);
        }

        var clock = Stopwatch.StartNew();
        await work();
        return clock.Elapsed.TotalSeconds;
    }

    private static async Task ShellAsync(string script, string path)
    {
        using Process shell = Process.Start("sh", ["-c", script, "sh", path]);
        await shell.WaitForExitAsync();
    }

    private static async Task MakeAsync(string path, long bytes)
    {
        byte[] piece = new byte[1 << 22];
        new Random(1).NextBytes(piece);
        await using FileStream file = File.Create(path);
        for (long written = 0; written < bytes; written += piece.Length)
        {
            await file.WriteAsync(piece);
        }

        file.Flush(flushToDisk: true);
    }
}
