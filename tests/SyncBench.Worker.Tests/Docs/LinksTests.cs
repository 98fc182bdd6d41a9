using System.Text.RegularExpressions;
using SyncBench.Tests.Support;

namespace SyncBench.Worker.Tests.Docs;

public sealed partial class LinksTests
{
    [Fact]
    public void EveryLink_LeadsToAFileOfTheRepository_AndToAHeadingOfIt()
    {
        foreach (string file in Documents.Files)
        {
            foreach (Match link in Links().Matches(File.ReadAllText(file)))
            {
                string[] parts = link.Groups["to"].Value.Split('#');
                string target = parts[0].Length == 0 ? file : Path.GetFullPath(Path.Combine(Path.GetDirectoryName(file)!, parts[0]));
                Assert.True(File.Exists(target) || Directory.Exists(target), $"{file}: {link.Value}");
                Assert.True(parts.Length == 1 || Headings(target).Contains(parts[1], StringComparer.Ordinal), $"{file}: {link.Value}");
            }
        }
    }

    /// <summary>Each says in words what it shows, and is small enough for a slow line.</summary>
    [Fact]
    public void EveryPicture_IsSmall_HasWords_AndIsShown()
    {
        Match[] shown = [.. Documents.Files.SelectMany(file => Pictures().Matches(File.ReadAllText(file)))];
        Assert.All(shown, picture => Assert.InRange(picture.Groups["words"].Length, 10, 300));
        string[] files = Directory.GetFiles(Repository.File("docs/pictures"));
        Assert.InRange(files.Length, 7, 20);
        Assert.All(files, file => Assert.InRange(new FileInfo(file).Length, 1000, 200_000));
        Assert.All(files, file => Assert.Contains(shown, picture => Path.GetFileName(picture.Groups["to"].Value) == Path.GetFileName(file)));
    }

    /// <summary>As hosts of repositories name them: small letters, hyphens for blanks, no punctuation (common practice).</summary>
    private static IEnumerable<string> Headings(string file) => File.ReadAllLines(file)
        .Where(line => line.StartsWith('#'))
        .Select(line => string.Concat(line.TrimStart('#', ' ').ToLowerInvariant().Where(c => char.IsLetterOrDigit(c) || c is ' ' or '-' or '_')).Replace(' ', '-'));

    [GeneratedRegex(@"\]\((?<to>(?!https?:)[^)\s]+)\)", RegexOptions.ExplicitCapture)]
    private static partial Regex Links();

    [GeneratedRegex(@"!\[(?<words>[^]]*)\]\((?<to>[^)]+)\)", RegexOptions.ExplicitCapture)]
    private static partial Regex Pictures();
}
