using System.Globalization;
using System.Text;
using System.Xml.Linq;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>The iXML chunk of a file of several mics: which channel is which, and how its time is counted.</summary>
/// <remarks>Element names by iXML 1.61 (from memory; ours are read back by mediainfo and by our own reader in the tests).</remarks>
internal static class MicNotes
{
    /// <summary>The content of the chunk, without its head.</summary>
    internal static byte[] ToBytes(string project, string take, TimelineModel timeline, long timeReference, IReadOnlyList<string> names)
    {
        string rate = timeline.FrameRate.ToString();
        var document = new XElement(
            "BWFXML",
            new XElement("IXML_VERSION", "1.61"),
            new XElement("PROJECT", Plain(project)),
            new XElement("TAKE", Plain(take)),
            new XElement(
                "SPEED",
                new XElement("MASTER_SPEED", rate),
                new XElement("CURRENT_SPEED", rate),
                new XElement("TIMECODE_RATE", rate),
                new XElement("TIMECODE_FLAG", timeline.Numbering.DropFrame ? "DF" : "NDF"),
                new XElement("FILE_SAMPLE_RATE", Number(Rate.Hz48000.Numerator)),
                new XElement("AUDIO_BIT_DEPTH", Number(8 * BroadcastWaveHeader.BytesPerSample)),
                new XElement("TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI", Number(timeReference >> 32)),
                new XElement("TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO", Number(timeReference & uint.MaxValue)),
                new XElement("TIMESTAMP_SAMPLE_RATE", Number(Rate.Hz48000.Numerator))),
            new XElement(
                "TRACK_LIST",
                names.Select((name, i) => new XElement(
                        "TRACK",
                        new XElement("CHANNEL_INDEX", Number(i + 1)),
                        new XElement("INTERLEAVE_INDEX", Number(i + 1)),
                        new XElement("NAME", Plain(name))))
                    .Prepend(new XElement("TRACK_COUNT", Number(names.Count)))));
        return Encoding.UTF8.GetBytes("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + document);
    }

    private static string Number(long value) => value.ToString(CultureInfo.InvariantCulture);

    /// <summary>Names come from folders and may hold what XML cannot.</summary>
    private static string Plain(string text) =>
        string.Concat(text.Select(c => char.IsControl(c) || char.IsSurrogate(c) || c is '\uFFFE' or '\uFFFF' ? '?' : c));
}
