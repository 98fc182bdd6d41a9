using System.Text;
using System.Text.RegularExpressions;

namespace SyncBench.Benchmarks.Service;

/// <summary>The result files of a dump as bytes, dates and times of day aside; without the log and what is hidden.</summary>
internal static partial class DumpResults
{
    internal static Dictionary<string, string> Read(string folder) => !Directory.Exists(folder) ? [] :
        Directory.EnumerateFiles(folder, "*", new EnumerationOptions { RecurseSubdirectories = true })
            .Select(file => (Name: Path.GetRelativePath(folder, file), Path: file))
            .Where(file => file.Name != "syncbench.log" && !file.Name.Split('/').Any(part => part.StartsWith('.')))
            .ToDictionary(file => file.Name, file => Time().Replace(Encoding.Latin1.GetString(File.ReadAllBytes(file.Path)), "TIME"));

    /// <summary>Names of the files that differ, or that only one has.</summary>
    internal static string[] Differences(Dictionary<string, string> one, Dictionary<string, string> other) =>
        [.. one.Keys.Union(other.Keys).Where(name => one.GetValueOrDefault(name) != other.GetValueOrDefault(name)).Order(StringComparer.Ordinal)];

    /// <summary>ISO 8601, the date in words of the report, and date and time of a broadcast wave (EBU Tech 3285), which stand beside each other.</summary>
    [GeneratedRegex(@"\d{1,2} [A-Z][a-z]+ \d{4}, \d\d:\d\d|\d{4}-\d\d-\d\d([T ]?\d\d:\d\d(:\d\d(\.\d+)?)?)?(Z|[+-]\d\d:\d\d|\\u002B\d\d:\d\d)?")]
    private static partial Regex Time();
}
