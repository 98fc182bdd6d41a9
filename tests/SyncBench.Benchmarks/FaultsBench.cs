using System.Diagnostics;
using System.Globalization;
using SyncBench.Benchmarks.Faults;

namespace SyncBench.Benchmarks;

/// <summary>
/// Damaged files for everything that reads what a card holds. A crash is an exception that the reader does not promise; a hang
/// takes longer than its limit; an unclear error is empty, longer than a sentence or two, or shows insides.
/// </summary>
internal static class FaultsBench
{
    private const int UsualInputs = 10_000;
    private const int LongestMessage = 400;
    private const int FirstShown = 5;

    /// <param name="options">"--inputs N", "--seed N".</param>
    internal static async Task<int> RunAsync(string[] options)
    {
        int inputs = Option(options, "--inputs", UsualInputs), seed = Option(options, "--seed", 1);
        string folder = Directory.CreateTempSubdirectory("syncbench-faults-").FullName;
        try
        {
            FaultTarget[] targets = await FaultTargets.MakeAsync(folder);
            double shares = targets.Sum(target => target.Share);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{"what",-26} {"inputs",7} {"refused",8} {"crashes",8} {"hangs",6} {"unclear",8}"));
            Tally all = new();
            foreach (FaultTarget target in targets)
            {
                int share = target == targets[^1] ? inputs - all.Inputs : (int)(inputs * target.Share / shares);
                Tally tally = await TryAsync(target, share, seed, folder);
                Console.WriteLine(tally.Row(target.Name));
                all.Add(tally);
            }

            Console.WriteLine(all.Row("all"));
            foreach (string failure in all.Failures.Take(FirstShown))
            {
                Console.WriteLine(failure);
            }

            return all.Failures.Count == 0 ? 0 : 1;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static async Task<Tally> TryAsync(FaultTarget target, int inputs, int seed, string folder)
    {
        var tally = new Tally();
        await Parallel.ForEachAsync(Enumerable.Range(0, inputs), async (i, _) =>
        {
            byte[] input = new Mutator(unchecked((seed * 1_000_003) + i)).Mutate(target.Seeds[i % target.Seeds.Length], target.Seeds[(i + 1) % target.Seeds.Length]);
            string own = Path.Combine(folder, $"{i}"), path = Path.Combine(own, target.Ending);
            if (target.NeedsFile)
            {
                Directory.CreateDirectory(own);
                await File.WriteAllBytesAsync(path, input, CancellationToken.None);
            }

            (string Kind, string? Words) end = await EndAsync(target, input, path);
            lock (tally)
            {
                tally.Count(end.Kind, end.Words is null ? null : $"{target.Name}, seed {seed}, input {i}: {end.Kind}: {end.Words}");
            }

            if (target.NeedsFile)
            {
                Directory.Delete(own, recursive: true);
            }
        });
        return tally;
    }

    private static async Task<(string Kind, string? Words)> EndAsync(FaultTarget target, byte[] input, string path)
    {
        var clock = Stopwatch.StartNew();
        try
        {
            string? said = await Task.Run(() => target.Read(input, path)).WaitAsync(target.Limit);
            return said is null ? ("read", null)
                : IsUnclear(said, path) ? ("unclear", said)
                : ("refused", null);
        }
        catch (TimeoutException)
        {
            return ("hang", $"more than {clock.Elapsed.TotalSeconds:0} s");
        }
        catch (Exception crash)
        {
            return ("crash", crash.ToString().ReplaceLineEndings(" "));
        }
    }

    private static bool IsUnclear(string said, string path) =>
        said.Length is 0 or > LongestMessage || said.Contains("Exception", StringComparison.Ordinal) || said.Contains("   at ", StringComparison.Ordinal)
        || said.Replace(path, string.Empty, StringComparison.Ordinal).AsSpan().IndexOfAnyInRange('\0', '\u001F') >= 0;

    private static int Option(string[] options, string name, int usual) =>
        Array.IndexOf(options, name) is var at and >= 0 && at + 1 < options.Length
            ? int.Parse(options[at + 1], NumberStyles.None, CultureInfo.InvariantCulture)
            : usual;

    private sealed class Tally
    {
        private int _refused, _crashes, _hangs, _unclear;

        internal int Inputs { get; private set; }

        internal List<string> Failures { get; } = [];

        internal void Count(string kind, string? failure)
        {
            Inputs++;
            _refused += kind == "refused" ? 1 : 0;
            _crashes += kind == "crash" ? 1 : 0;
            _hangs += kind == "hang" ? 1 : 0;
            _unclear += kind == "unclear" ? 1 : 0;
            Failures.AddRange(failure is null ? [] : [failure]);
        }

        internal void Add(Tally other)
        {
            Inputs += other.Inputs;
            _refused += other._refused;
            _crashes += other._crashes;
            _hangs += other._hangs;
            _unclear += other._unclear;
            Failures.AddRange(other.Failures);
        }

        internal string Row(string name) => string.Create(
            CultureInfo.InvariantCulture, $"{name,-26} {Inputs,7} {_refused,8} {_crashes,8} {_hangs,6} {_unclear,8}");
    }
}
