using System.Globalization;
using Spectre.Console;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Pipeline;
using SyncBench.Selection;

namespace SyncBench.Worker.Commands;

/// <summary>What a run came to, on one screen: what needs a person first, then the placements, then where things are.</summary>
internal static class RunSummary
{
    /// <summary>Wide enough for the paths of most cards; a log file or a pipe has no width of its own.</summary>
    private const int WidthWithoutTerminal = 160;

    internal static void Write(IAnsiConsole console, DumpResult result, OutputFolder output)
    {
        if (Console.IsOutputRedirected)
        {
            console.Profile.Width = WidthWithoutTerminal;
        }

        foreach (FileOutcome file in result.Files.Where(file => file.NeedsAPerson))
        {
            string what = file.Damage is null ? file.Outcome.InWords() : $"{file.Outcome.InWords()}, damaged";
            Line(console, $"{what}: {file.File.Path}: {file.Damage ?? file.Reason}");
        }

        foreach (IntakeFinding finding in result.Findings)
        {
            Line(console, $"{(finding.NeedsAPerson ? "look at" : "note")}: {finding.Path}: {finding.Problem}");
        }

        console.Write(Table(result));
        Line(console, string.Create(
            CultureInfo.InvariantCulture,
            $"{result.Files.Length} files, {result.Takes.Length} takes. Keep the cards until two verified copies exist."));
        Line(console, $"timeline  {Path.Combine(output.FullPath, "timeline.otio")}");
        Line(console, $"dialogue  {Path.Combine(output.FullPath, "dialogue")}");
        Line(console, $"report    {Path.Combine(output.FullPath, "report", "index.html")}");
    }

    /// <summary>The same; all the rest stands in sync.json.</summary>
    internal static object ForPrograms(DumpResult result, OutputFolder output) => new
    {
        Dump = result.Root,
        Out = output.FullPath,
        result.NeedsAPerson,
        LookAt = result.Files.Where(file => file.NeedsAPerson)
            .Select(file => new { file.File.Path, Outcome = file.Outcome.InWords(), Problem = file.Damage ?? file.Reason }),
        Findings = result.Findings.Select(finding => new { finding.Path, finding.Problem, finding.NeedsAPerson }),
        Files = result.Files.Length,
        Takes = result.Takes.Length,
        Results = output.Written,
    };

    /// <summary>Paths and reasons are longer than a screen is wide, and a wrapped path cannot be copied.</summary>
    private static void Line(IAnsiConsole console, string text) =>
        console.Profile.Out.Writer.WriteLine(text.ReplaceLineEndings(" "));

    private static Table Table(DumpResult result)
    {
        var table = new Table().Border(TableBorder.Simple);
        table.AddColumn(new TableColumn("file").NoWrap());
        table.AddColumn(new TableColumn("outcome").NoWrap());
        table.AddColumn(new TableColumn("start s").RightAligned().NoWrap());
        table.AddColumn(new TableColumn("rate ppm").RightAligned().NoWrap());
        table.AddColumn("why");
        foreach (FileOutcome file in result.Files)
        {
            Placement? placement = file.Outcome == Outcome.Placed ? file.Placement : null;
            table.AddRow(
                Markup.Escape(file.File.Path.ReplaceLineEndings(" ")),
                file.Outcome.InWords(),
                placement?.CommonRange.Start.ToSeconds().ToString("0.0000", CultureInfo.InvariantCulture) ?? string.Empty,
                placement?.Map.Ppm.ToString("+0.00;-0.00;0.00", CultureInfo.InvariantCulture) ?? string.Empty,
                Markup.Escape(Why(file).ReplaceLineEndings(" ")));
        }

        return table;
    }

    /// <summary>Short, for the table is as wide as a screen: what a person has to read in full stands above it.</summary>
    private static string Why(FileOutcome file) => file.Outcome switch
    {
        Outcome.Placed => file.Placement?.Against is { } device ? $"by {device.Name}" : "the reference",
        Outcome.SetAside => file.Reason,
        _ => "see above",
    };
}
