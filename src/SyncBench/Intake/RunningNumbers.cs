using System.Collections.Immutable;
using System.Globalization;
using System.Text.RegularExpressions;

namespace SyncBench.Intake;

/// <summary>Holes in the numbering that devices give their files.</summary>
public static partial class RunningNumbers
{
    /// <summary>Dates and times of day have more digits than any camera counts.</summary>
    private const int MostDigits = 5;

    private const int MostNamed = 5;

    /// <param name="paths">Of recordings, whether they can be read or not: an unreadable file is no hole.</param>
    /// <returns>One for each hole, in order of path.</returns>
    public static ImmutableArray<IntakeFinding> Holes(IEnumerable<string> paths) =>
    [
        .. paths.Select(Name.Of).GroupBy(name => (name.Top, name.Shape, name.Ending))
            .SelectMany(alike => WithOwnNumbers([.. alike]))
            .SelectMany(Holes)
            .OrderBy(hole => hole.Path, StringComparer.Ordinal),
    ];

    /// <summary>Numbers run on over a device's folders, or begin again in each: then each folder is a series.</summary>
    private static IEnumerable<Name[]> WithOwnNumbers(Name[] names) =>
        Running(names) is not null ? [names] : names.GroupBy(name => name.Folder).Select(folder => folder.ToArray());

    private static IEnumerable<IntakeFinding> Holes(Name[] names)
    {
        if (Running(names) is not { } place)
        {
            yield break;
        }

        Name[] inOrder = [.. names.OrderBy(name => name.Number(place))];
        for (int i = 1; i < inOrder.Length; i++)
        {
            int before = inOrder[i - 1].Number(place), after = inOrder[i].Number(place);
            if (after - before > 1)
            {
                yield return new IntakeFinding(
                    FindingKind.MissingNumber, inOrder[i - 1].Path,
                    $"the next file is {inOrder[i].FileName}, so {Missing(before + 1, after - 1, inOrder[i].Digits[place].Length)} not in the dump: "
                    + "see whether the card holds more, or the take was deleted");
            }
        }
    }

    /// <summary>
    /// Which group of digits counts: the one that differs from file to file while all others stay, and at least half of
    /// whose numbers are there. A counter that wrapped, or a date, leaves more holes than files and is no counter.
    /// </summary>
    private static int? Running(Name[] names)
    {
        if (names.Length < 2)
        {
            return null;
        }

        int[] varying = [.. Enumerable.Range(0, names[0].Digits.Length)
            .Where(place => names.Select(name => name.Digits[place]).Distinct(StringComparer.Ordinal).Skip(1).Any())];
        foreach (int place in varying.Where(place => names.All(name => name.Digits[place].Length <= MostDigits)))
        {
            int[] numbers = [.. names.Select(name => name.Number(place)).Distinct()];
            if (numbers.Length == names.Length && numbers.Max() - numbers.Min() < 2 * numbers.Length)
            {
                return place;
            }
        }

        return null;
    }

    private static string Missing(int first, int last, int digits)
    {
        string format = new('0', digits);
        string[] numbers = [.. Enumerable.Range(first, Math.Min(last - first + 1, MostNamed))
            .Select(number => number.ToString(format, CultureInfo.InvariantCulture))];
        return last == first ? $"number {numbers[0]} is"
            : last - first < MostNamed ? $"numbers {string.Join(", ", numbers)} are"
            : $"numbers {numbers[0]} to {last.ToString(format, CultureInfo.InvariantCulture)} are";
    }

    private sealed record Name(string Path, string FileName, string Top, string Folder, string Shape, string Ending, string[] Digits)
    {
        internal int Number(int place) => int.Parse(Digits[place], NumberStyles.None, CultureInfo.InvariantCulture);

        internal static Name Of(string path)
        {
            int slash = path.LastIndexOf('/');
            string file = path[(slash + 1)..], stem = System.IO.Path.GetFileNameWithoutExtension(file);
            return new Name(
                path, file, path[..Math.Max(0, path.IndexOf('/', StringComparison.Ordinal))], path[..Math.Max(0, slash)],
                Number0To9().Replace(stem, "#"), System.IO.Path.GetExtension(file).ToUpperInvariant(),
                [.. Number0To9().Matches(stem).Select(match => match.Value)]);
        }
    }

    [GeneratedRegex("[0-9]+", RegexOptions.CultureInvariant | RegexOptions.NonBacktracking)]
    private static partial Regex Number0To9();
}
