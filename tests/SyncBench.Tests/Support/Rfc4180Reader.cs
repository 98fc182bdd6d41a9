namespace SyncBench.Tests.Support;

/// <summary>
/// Reads CSV by the grammar at the end of RFC 4180 section 2 and nothing looser, as a second opinion on what a CSV library
/// wrote. The grammar is from memory; TEXTDATA is widened from ASCII to Unicode, as the charset parameter of section 3 allows:
/// <code>
/// file = [header CRLF] record *(CRLF record) [CRLF]      record = field *(COMMA field)
/// field = escaped / non-escaped                          escaped = DQUOTE *(TEXTDATA / COMMA / CR / LF / 2DQUOTE) DQUOTE
/// non-escaped = *TEXTDATA                                TEXTDATA: no comma, double quote or control character
/// </code>
/// Control characters other than CR and LF are let pass too: file names may hold them, and the RFC has no way to write them.
/// </summary>
internal sealed class Rfc4180Reader(string text)
{
    private int _at;

    /// <exception cref="FormatException">The text breaks the grammar, or its records differ in length.</exception>
    internal static IReadOnlyList<string[]> Read(string text)
    {
        var reader = new Rfc4180Reader(text);
        var records = new List<string[]>();
        while (reader._at < text.Length)
        {
            records.Add(reader.Record());
        }

        return records.TrueForAll(record => record.Length == records[0].Length)
            ? records
            : throw new FormatException("The records differ in length.");
    }

    private string[] Record()
    {
        var fields = new List<string> { Field() };
        while (_at < text.Length && text[_at] == ',')
        {
            _at++;
            fields.Add(Field());
        }

        Expect('\r');
        Expect('\n');
        return [.. fields];
    }

    private string Field() => _at < text.Length && text[_at] == '"' ? Escaped() : NonEscaped();

    private string Escaped()
    {
        var field = new System.Text.StringBuilder();
        for (_at++; ; _at++)
        {
            if (_at >= text.Length)
            {
                throw new FormatException("The text ends inside quotes.");
            }

            if (text[_at] == '"')
            {
                if (_at + 1 >= text.Length || text[_at + 1] != '"')
                {
                    _at++;
                    return field.ToString();
                }

                _at++;
            }

            field.Append(text[_at]);
        }
    }

    private string NonEscaped()
    {
        int start = _at;
        while (_at < text.Length && text[_at] is not (',' or '"' or '\r' or '\n'))
        {
            _at++;
        }

        return text[start.._at];
    }

    private void Expect(char wanted)
    {
        if (_at >= text.Length || text[_at] != wanted)
        {
            throw new FormatException($"U+{(int)wanted:X4} is missing at {_at}.");
        }

        _at++;
    }
}
