using System.Globalization;
using System.Xml;
using System.Xml.Linq;

namespace SyncBench.Intake.Integrity;

/// <summary>XML of ASC MHL, from files that are not trusted and to files that others read.</summary>
internal static class MhlXml
{
    internal static readonly XNamespace Manifest = "urn:ASC:MHL:v2.0";
    internal static readonly XNamespace Directory = "urn:ASC:MHL:DIRECTORY:v2.0";

    /// <summary>The schema's deepest path has seven elements, apart from free metadata.</summary>
    private const int Deepest = 64;

    /// <exception cref="MhlException">This is no such XML.</exception>
    internal static XElement Read(byte[] bytes, XName root)
    {
        var settings = new XmlReaderSettings { DtdProcessing = DtdProcessing.Prohibit, XmlResolver = null };
        try
        {
            using (var scan = XmlReader.Create(new MemoryStream(bytes), settings))
            {
                while (scan.Read())
                {
                    if (scan.Depth > Deepest)
                    {
                        throw new MhlException("its elements are nested too deeply");
                    }
                }
            }

            using var reader = XmlReader.Create(new MemoryStream(bytes), settings);
            XElement top = XDocument.Load(reader).Root!;
            return top.Name == root ? top : throw new MhlException($"its root element is not \"{root.LocalName}\" of {root.NamespaceName}");
        }
        catch (XmlException wrong)
        {
            throw new MhlException(string.Create(CultureInfo.InvariantCulture, $"it is no well-formed XML (line {wrong.LineNumber})"));
        }
    }

    internal static byte[] Bytes(XElement root)
    {
        using var stream = new MemoryStream();
        var settings = new XmlWriterSettings { Indent = true, Encoding = new System.Text.UTF8Encoding(false), NewLineChars = "\n" };
        using (var writer = XmlWriter.Create(stream, settings))
        {
            root.Save(writer);
        }

        return stream.ToArray();
    }

    internal static string Time(DateTimeOffset time) =>
        time.ToString("yyyy-MM-dd'T'HH:mm:sszzz", CultureInfo.InvariantCulture);

    internal static DateTimeOffset? TimeOrNull(string? text) =>
        DateTimeOffset.TryParse(text, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset time) ? time : null;
}
