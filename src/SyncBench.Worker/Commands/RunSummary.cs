using System.Globalization;
using Spectre.Console;
using SyncBench.Alignment;
using SyncBench.Pipeline;
using SyncBench.Selection;

namespace SyncBench.Worker.Commands;

/// <summary>What a run came to, on one screen: what needs a person first, then the placements, then where things are.</summary>
internal static class RunSummary
{
    internal static void Write(IAnsiConsole console, DumpResult result, OutputFolder output)
    {
        foreach (FileOutcome file in result.Files.Where(f => f.Outcome is Outcome.Unreadable or Outcome.CheckByEar))
        {
            Line(console, $"{Words(file.Outcome)}: {file.File.Path}: {file.Reason}");
        }

        console.Write(Table(result));
        Line(console, string.Create(
            CultureInfo.InvariantCulture,
            $"{result.Files.Length} files, {result.Takes.Length} takes. Keep the cards until two verified copies exist."));
        Line(console, $"timeline  {Path.Combine(output.FullPath, "timeline.otio")}");
        Line(console, $"report    {Path.Combine(output.FullPath, "report", "index.html")}");
    }

    /// <summary>Paths and reasons are longer than a screen is wide, and a wrapped path cannot be copied.</summary>
    private static void Line(IAnsiConsole console, string text) =>
        console.Profile.Out.Writer.WriteLine(text.ReplaceLineEndings(" "));

    private static Table Table(DumpResult result)
    {
        var table = new Table().Border(TableBorder.Simple);
        table.AddColumns("file", "device", "outcome");
        foreach (string right in new[] { "start s", "rate ppm" })
        {
            table.AddColumn(new TableColumn(right).RightAligned());
        }

        table.AddColumn("why");
        foreach (FileOutcome file in result.Files)
        {
            Placement? placement = file.Outcome == Outcome.Placed ? file.Placement : null;
            table.AddRow(
                Markup.Escape(file.File.Path.ReplaceLineEndings(" ")),
                Markup.Escape(file.Clip?.Device.Name ?? string.Empty),
                Words(file.Outcome),
                placement?.CommonRange.Start.ToSeconds().ToString("0.0000", CultureInfo.InvariantCulture) ?? string.Empty,
                placement?.Map.Ppm.ToString("+0.00;-0.00;0.00", CultureInfo.InvariantCulture) ?? string.Empty,
                Markup.Escape(file.Outcome == Outcome.Unreadable ? "see above" : file.Reason.ReplaceLineEndings(" ")));
        }

        return table;
    }

    private static string Words(Outcome outcome) => outcome switch
    {
        Outcome.Placed => "placed",
        Outcome.SetAside => "set aside",
        Outcome.CheckByEar => "check by ear",
        _ => "unreadable",
    };
}
