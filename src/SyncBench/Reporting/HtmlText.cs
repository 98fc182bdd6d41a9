using System.Globalization;
using System.Net;
using System.Runtime.CompilerServices;
using System.Text;

namespace SyncBench.Reporting;

/// <summary>
/// Markup, written as an interpolated string: what stands in the string is markup, what is put into its holes is text
/// and is escaped. Nothing from a card can therefore become markup by being forgotten.
/// </summary>
[InterpolatedStringHandler]
internal sealed class HtmlText(int literalLength, int formattedCount)
{
    private readonly StringBuilder _markup = new(literalLength + (formattedCount * 16));

    internal static HtmlText Nothing { get; } = new(0, 0);

    public void AppendLiteral(string markup) => _markup.Append(markup);

    public void AppendFormatted(string? text) => _markup.Append(WebUtility.HtmlEncode(Visible(text)));

    public void AppendFormatted(HtmlText inner) => _markup.Append(inner._markup);

    public void AppendFormatted(IEnumerable<HtmlText> inner)
    {
        foreach (HtmlText part in inner)
        {
            _markup.Append(part._markup);
        }
    }

    /// <summary>A number; always with a point, whatever the culture.</summary>
    public void AppendFormatted<T>(T number, string? format = null)
        where T : struct, IFormattable =>
        _markup.Append(number.ToString(format, CultureInfo.InvariantCulture));

    public override string ToString() => _markup.ToString();

    internal void WriteTo(TextWriter writer)
    {
        foreach (ReadOnlyMemory<char> chunk in _markup.GetChunks())
        {
            writer.Write(chunk.Span);
        }
    }

    /// <summary>Control characters, line breaks in file names among them, as their pictures: ␊ for a line feed.</summary>
    private static string? Visible(string? text) =>
        text is null || !text.Any(char.IsControl) ? text
        : string.Concat(text.Select(c => c < ' ' ? (char)(c + '\u2400') : char.IsControl(c) ? '\ufffd' : c));
}
