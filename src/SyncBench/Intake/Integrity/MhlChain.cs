using System.Collections.Immutable;
using System.Globalization;
using System.Xml.Linq;

namespace SyncBench.Intake.Integrity;

/// <summary>One line of the chain file: which manifest is which generation, and its C4 id so that no one changes it unseen.</summary>
internal sealed record MhlLink(int Generation, string FileName, string C4);

/// <summary>ascmhl_chain.xml, which lists all generations of a history.</summary>
internal static class MhlChain
{
    internal const string FileName = "ascmhl_chain.xml";

    private static readonly XNamespace Ns = MhlXml.Directory;

    /// <returns>In order of generation.</returns>
    /// <exception cref="MhlException">The bytes are no chain file.</exception>
    internal static ImmutableArray<MhlLink> Read(byte[] bytes)
    {
        XElement root = MhlXml.Read(bytes, Ns + "ascmhldirectory");
        MhlLink[] links =
        [
            .. root.Elements(Ns + "hashlist").Select(link => new MhlLink(
                int.TryParse(link.Attribute("sequencenr")?.Value, NumberStyles.None, CultureInfo.InvariantCulture, out int number)
                    ? number
                    : throw new MhlException("a generation in it has no number"),
                link.Element(Ns + "path")?.Value ?? throw new MhlException("a generation in it has no path"),
                link.Element(Ns + "c4")?.Value.Trim() ?? throw new MhlException("a generation in it has no C4 id"))),
        ];
        links = [.. links.OrderBy(link => link.Generation)];
        return links.Select(link => link.Generation).SequenceEqual(Enumerable.Range(1, links.Length))
            ? [.. links]
            : throw new MhlException("its generations are not numbered 1, 2, 3 and so on");
    }

    internal static byte[] Write(IEnumerable<MhlLink> links) => MhlXml.Bytes(new XElement(
        Ns + "ascmhldirectory",
        links.Select(link => new XElement(
            Ns + "hashlist",
            new XAttribute("sequencenr", link.Generation.ToString(CultureInfo.InvariantCulture)),
            new XElement(Ns + "path", link.FileName),
            new XElement(Ns + "c4", link.C4)))));
}
