using System.Globalization;
using System.Text;

namespace SyncBench.Timeline;

internal static class EdlText
{
    /// <summary>
    /// Printable ASCII alone, all else as \uXXXX of its UTF-16 code, the backslash too so that it can be read back: a line
    /// break in a file's name must not make a line, and readers differ on the rest.
    /// </summary>
    internal static string Plain(string text)
    {
        var plain = new StringBuilder(text.Length);
        foreach (char c in text)
        {
            if (c is >= ' ' and <= '~' and not '\\')
            {
                plain.Append(c);
            }
            else
            {
                plain.Append(CultureInfo.InvariantCulture, $"\\u{(int)c:X4}");
            }
        }

        return plain.ToString();
    }
}
