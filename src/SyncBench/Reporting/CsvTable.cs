using System.Globalization;
using CsvHelper;

namespace SyncBench.Reporting;

/// <summary>A table as RFC 4180 has it: one header line, CR LF, UTF-8 without a byte order mark.</summary>
internal sealed class CsvTable : IDisposable
{
    private static readonly CsvWriterOptions Format = new()
    {
        NewLine = "\r\n",
        WriteByteOrderMark = false,
        FormatProvider = CultureInfo.InvariantCulture,

        // File names come from a card: a spreadsheet must show them, not run them. Numbers are written as such.
        Injection = CsvInjection.Escape,
        InjectionCharacters = "=+-@\t\r\n",
        InjectionEscape = '\'',
    };

    private readonly CsvWriter _csv;

    internal CsvTable(Stream stream, params ReadOnlySpan<string> columns)
    {
        _csv = CsvWriter.Create(stream, Format, leaveOpen: true);
        _csv.WriteHeader(columns);
    }

    internal CsvTable Text(string? text)
    {
        _csv.WriteField(text ?? string.Empty);
        return this;
    }

    /// <summary>An empty cell where there is no number.</summary>
    internal CsvTable Number(decimal? number, string format)
    {
        if (number is { } value)
        {
            _csv.WriteField(value, format, CultureInfo.InvariantCulture);
        }
        else
        {
            _csv.WriteField(string.Empty);
        }

        return this;
    }

    internal void EndRow() => _csv.EndRecord();

    public void Dispose() => _csv.Dispose();
}
