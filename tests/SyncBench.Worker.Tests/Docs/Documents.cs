using System.Text.RegularExpressions;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests.Docs;

/// <summary>README, DEVELOPERS and everything under docs/, and the commands that they tell the reader to type.</summary>
internal static partial class Documents
{
    internal static string[] Files { get; } =
    [
        Repository.File("README.md"), Repository.File("DEVELOPERS.md"),
        .. Directory.GetFiles(Repository.File("docs"), "*.md", SearchOption.AllDirectories).Order(StringComparer.Ordinal),
    ];

    /// <summary>Lines of their own, without the words that explain them.</summary>
    internal static IEnumerable<string> Commands => All(Lines());

    /// <summary>In running text.</summary>
    internal static IEnumerable<string> Mentioned => All(Spans());

    private static IEnumerable<string> All(Regex form) =>
        Files.SelectMany(file => form.Matches(File.ReadAllText(file))).Select(match => match.Groups["command"].Value.Trim()).Distinct();

    [GeneratedRegex(@"^    (?<command>(scripts/|syncbench )\S.*?)(   .*)?$", RegexOptions.Multiline | RegexOptions.ExplicitCapture)]
    private static partial Regex Lines();

    [GeneratedRegex("`(?<command>(scripts/|syncbench )[^`]+)`", RegexOptions.ExplicitCapture)]
    private static partial Regex Spans();
}
