using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;

namespace SyncBench.Benchmarks.Speed;

/// <summary>Runs programs one after the other and measures what they and their children take, by Linux's /proc.</summary>
internal static partial class MeasuredProcess
{
    private const int RusageChildren = -1;
    private const double TicksPerSecond = 100; // USER_HZ, the same on all of Linux's usual machines (proc(5))

    /// <param name="allowed">Exit codes that are no failure.</param>
    internal static async Task<Cost> RunAsync(string program, IEnumerable<string> arguments, params int[] allowed)
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        double before = ChildSeconds();
        var clock = Stopwatch.StartNew();
        using Process process = Process.Start(start)!;
        process.StandardInput.Close();
        Task<string> words = process.StandardOutput.ReadToEndAsync(), errors = process.StandardError.ReadToEndAsync();
        double own = 0;
        long peak = 0, children = 0;
        Task exit = process.WaitForExitAsync();
        while (await Task.WhenAny(exit, Task.Delay(25)) != exit)
        {
            own = Math.Max(own, OwnSeconds(process.Id));
            peak = Math.Max(peak, Kilobytes(process.Id, "VmHWM:") * 1024);
            children = Math.Max(children, Children(process.Id).Sum(child => Kilobytes(child, "VmRSS:")) * 1024);
        }

        double wall = clock.Elapsed.TotalSeconds, all = ChildSeconds() - before;
        await words;
        return process.ExitCode == 0 || allowed.Contains(process.ExitCode)
            ? new Cost(wall, Math.Min(own, all), Math.Max(0, all - own), peak, children)
            : throw new InvalidOperationException($"{program} failed: {(await errors).Trim()}");
    }

    /// <summary>Several programs, so many at once.</summary>
    internal static async Task<Cost> RunAllAsync(string program, IEnumerable<string[]> arguments, int atOnce)
    {
        double before = ChildSeconds();
        var clock = Stopwatch.StartNew();
        await Parallel.ForEachAsync(
            arguments, new ParallelOptions { MaxDegreeOfParallelism = atOnce }, async (list, stop) =>
            {
                using Process process = Process.Start(program, list);
                await process.WaitForExitAsync(stop);
            });
        return new Cost(clock.Elapsed.TotalSeconds, 0, ChildSeconds() - before, 0, 0);
    }

    private static double OwnSeconds(int id)
    {
        string[] fields = Read($"/proc/{id}/stat").Split(") ")[^1].Split(' ');
        return fields.Length < 13 ? 0 : (Number(fields[11]) + Number(fields[12])) / TicksPerSecond;
    }

    private static long Kilobytes(int id, string name)
    {
        string? line = Read($"/proc/{id}/status").Split('\n').FirstOrDefault(text => text.StartsWith(name, StringComparison.Ordinal));
        return line is null ? 0 : Number(line.Split(' ', StringSplitOptions.RemoveEmptyEntries)[^2].Trim());
    }

    private static IEnumerable<int> Children(int id)
    {
        string tasks = $"/proc/{id}/task";
        string[] threads = Directory.Exists(tasks) ? Directory.GetDirectories(tasks) : [];
        return threads
            .SelectMany(thread => Read($"{thread}/children").Split(' ', StringSplitOptions.RemoveEmptyEntries))
            .Select(child => (int)Number(child));
    }

    /// <summary>Empty where the process has ended meanwhile.</summary>
    private static string Read(string path)
    {
        try
        {
            return File.ReadAllText(path);
        }
        catch (IOException)
        {
            return string.Empty;
        }
    }

    private static long Number(string text) => long.Parse(text, CultureInfo.InvariantCulture);

    private static double ChildSeconds()
    {
        _ = GetResourceUsage(RusageChildren, out ResourceUsage usage);
        return usage.UserSeconds + usage.SystemSeconds + ((usage.UserMicroseconds + usage.SystemMicroseconds) * 1e-6);
    }

    [LibraryImport("libc", EntryPoint = "getrusage")]
    private static partial int GetResourceUsage(int who, out ResourceUsage usage);

    /// <summary>struct rusage of 64-bit Linux: two times and 14 further numbers.</summary>
    [StructLayout(LayoutKind.Sequential, Size = 144)]
    private struct ResourceUsage
    {
        public long UserSeconds;
        public long UserMicroseconds;
        public long SystemSeconds;
        public long SystemMicroseconds;
    }
}
