using System.Collections.Immutable;
using System.Globalization;
using System.Xml;
using System.Xml.Linq;
using SyncBench.Time;

namespace SyncBench.Media;

/// <summary>Reads the iXML chunk of a WAVE file. What is malformed is told, never thrown.</summary>
/// <remarks>
/// Names of elements by the open iXML specification (gallery.co.uk/ixml): every element is optional and there is no
/// schema, so each is read by itself and what cannot be understood is passed over.
/// </remarks>
public static class RecorderNotesReader
{
    /// <summary>Recorders write a few kilobytes.</summary>
    private const int MostBytes = 1 << 20;

    private const int LongestText = 1000;

    /// <returns>Both null where the file has no iXML chunk; a problem in words that fit behind the name of a file.</returns>
    public static (RecorderNotes? Notes, string? Problem) Read(string fullPath)
    {
        try
        {
            using FileStream file = File.OpenRead(fullPath);
            return Read(file);
        }
        catch (Exception wrong) when (wrong is IOException or UnauthorizedAccessException)
        {
            return (null, $"its iXML chunk cannot be read ({wrong.Message})");
        }
    }

    /// <param name="file">A WAVE file, at its beginning; it can seek.</param>
    internal static (RecorderNotes? Notes, string? Problem) Read(Stream file)
    {
        (byte[]? data, string? problem) = WaveChunks.Find(file, "iXML", MostBytes);
        if (data is null)
        {
            return (null, problem);
        }

        try
        {
            XElement root = Load(data);
            return root.Name.LocalName == "BWFXML"
                ? (Notes(root), null)
                : (null, $"its iXML chunk begins with {root.Name.LocalName} instead of BWFXML");
        }
        catch (XmlException wrong)
        {
            return (null, $"its iXML chunk is no proper XML (line {wrong.LineNumber})");
        }
    }

    /// <summary>Recorders reserve room behind the text and fill it with zeros or blanks.</summary>
    private static XElement Load(byte[] data)
    {
        var settings = new XmlReaderSettings
        {
            DtdProcessing = DtdProcessing.Prohibit,
            XmlResolver = null,
            MaxCharactersInDocument = MostBytes,
            MaxCharactersFromEntities = MostBytes,
        };
        int end = Array.FindLastIndex(data, value => value is not (0 or (byte)' ')) + 1;
        using var reader = XmlReader.Create(new MemoryStream(data, 0, end), settings);
        return XElement.Load(reader);
    }

    private static RecorderNotes Notes(XElement root) => new(
        Text(root, "SCENE"), Text(root, "TAKE"), Text(root, "TAPE"), Text(root, "NOTE"),
        Text(root, "CIRCLED")?.ToUpperInvariant() switch { "TRUE" => true, "FALSE" => false, _ => null },
        root.Element("SPEED") is { } speed ? Speed(speed) : null,
        Tracks(root.Element("TRACK_LIST")))
    {
        Family = root.Element("FILE_SET") is { } set && Positive(Text(set, "TOTAL_FILES")) > 1 ? Text(set, "FAMILY_UID") : null,
    };

    private static RecorderSpeed Speed(XElement speed) => new(
        FrameRate(Text(speed, "MASTER_SPEED")),
        FrameRate(Text(speed, "CURRENT_SPEED")),
        FrameRate(Text(speed, "TIMECODE_RATE")),
        Text(speed, "TIMECODE_FLAG")?.ToUpperInvariant() switch { "DF" => true, "NDF" or "ND" => false, _ => null },
        Positive(Text(speed, "FILE_SAMPLE_RATE")),
        SinceMidnight(speed),
        Positive(Text(speed, "TIMESTAMP_SAMPLE_RATE")));

    /// <summary>Two unsigned halves of 32 bits, each written as a decimal number.</summary>
    private static long? SinceMidnight(XElement speed) =>
        Half(Text(speed, "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO")) is { } low
        && Half(Text(speed, "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI") ?? "0") is { } high and <= int.MaxValue
            ? ((long)high << 32) + low
            : null;

    private static uint? Half(string? text) =>
        uint.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out uint half) ? half : null;

    private static int? Positive(string? text) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int value) && value > 0 ? value : null;

    /// <summary>"30000/1001" by the specification; files in the wild also hold "29.97" and "2997ND".</summary>
    private static Rate? FrameRate(string? text)
    {
        string[] parts = (text ?? string.Empty).TrimEnd('N', 'D', 'F', ' ').Split('/');
        if (!double.TryParse(parts[0], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double perSecond))
        {
            return null;
        }

        if (parts.Length > 1)
        {
            perSecond /= Positive(parts[1]) ?? 0;
        }

        perSecond /= perSecond > 1000 ? 100 : 1;
        return perSecond is > 1 and < 1000 ? TimecodeFormat.Standard(new Rate((int)Math.Round(perSecond * 1e5), 100_000)) : null;
    }

    private static ImmutableArray<RecorderTrack> Tracks(XElement? list) =>
    [
        .. (list?.Elements("TRACK") ?? [])
            .Select(track => (
                Channel: Positive(Text(track, "INTERLEAVE_INDEX")), Name: Text(track, "NAME"), Function: Text(track, "FUNCTION")))
            .Where(track => track is { Channel: not null, Name: not null })
            .Select(track => new RecorderTrack(track.Channel!.Value - 1, track.Name!, track.Function)),
    ];

    private static string? Text(XElement parent, string name)
    {
        string text = (parent.Element(name)?.Value ?? string.Empty).Trim();
        return text.Length == 0 ? null : text[..Math.Min(text.Length, LongestText)];
    }
}
