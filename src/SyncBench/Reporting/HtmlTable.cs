namespace SyncBench.Reporting;

/// <summary>
/// A table whose first column heads its rows. Roles and labels are written out because on a narrow screen the style
/// lays each row out as a card, which would otherwise cost a screen reader the table.
/// </summary>
internal sealed class HtmlTable(string caption, params string[] columns)
{
    /// <summary>With so many columns it needs the width of a laptop's screen.</summary>
    private const int Wide = 7;

    private readonly List<HtmlText> _rows = [];

    internal HtmlTable Row(params HtmlText[] cells)
    {
        _rows.Add($"<tr role=\"row\">{cells.Select(Cell)}</tr>\n");
        return this;
    }

    internal HtmlText ToHtml() => $"""
        <table role="table"{(columns.Length < Wide ? HtmlText.Nothing : (HtmlText)$" class=\"wide\"")}>
        <caption>{caption}</caption>
        <thead role="rowgroup"><tr role="row">{columns.Select(Head)}</tr></thead>
        <tbody role="rowgroup">
        {_rows}</tbody>
        </table>

        """;

    private static HtmlText Head(string column) => $"<th role=\"columnheader\" scope=\"col\">{column}</th>";

    private HtmlText Cell(HtmlText cell, int column) => column == 0
        ? $"<th role=\"rowheader\" scope=\"row\">{cell}</th>"
        : (HtmlText)$"<td role=\"cell\"{(cell.ToString() == "–" ? (HtmlText)$" class=\"none\"" : HtmlText.Nothing)} data-label=\"{columns[column]}\">{cell}</td>";
}
