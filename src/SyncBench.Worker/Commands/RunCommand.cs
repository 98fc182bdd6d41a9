using System.ComponentModel;
using System.Globalization;
using Serilog;
using Serilog.Core;
using Spectre.Console;
using Spectre.Console.Cli;
using SyncBench.Intake;
using SyncBench.Pipeline;
using SyncBench.Selection;

namespace SyncBench.Worker.Commands;

/// <summary><c>syncbench run DUMP... --out FOLDER</c></summary>
internal sealed class RunCommand : AsyncCommand<RunCommand.Arguments>
{
    internal sealed class Arguments : CommandSettings
    {
        [CommandArgument(0, "<DUMP>")]
        [Description("Folder copied from the cards. It is only read. Of several, each is synced by itself.")]
        public string[] Dumps { get; init; } = [];

        [CommandOption("-o|--out <FOLDER>", isRequired: true)]
        [Description("Where timeline and report go: outside the dump. With several dumps, a folder for each inside it.")]
        public string Out { get; init; } = string.Empty;

        [CommandOption("-s|--settings <FILE>")]
        [Description("What the crew knows: devices, angles, mics, distances (JSON, see docs/assistant-editor.md).")]
        public string? Settings { get; init; }

        [CommandOption("--json")]
        [Description(ProgramJson.Help)]
        public bool Json { get; init; }
    }

    public override async Task<int> ExecuteAsync(
        CommandContext context, Arguments arguments, CancellationToken cancellationToken)
    {
        DumpSettings settings = arguments.Settings is { } file ? DumpSettings.Load(file) : DumpSettings.Usual;
        int code = ExitCode.Done;
        var runs = new List<object>();
        foreach ((string dump, OutputFolder output) in Outputs(arguments))
        {
            DumpResult result = await SyncAsync(new RunRequest(dump, output, settings), arguments.Json, cancellationToken);
            if (arguments.Json)
            {
                runs.Add(RunSummary.ForPrograms(result, output));
            }
            else
            {
                RunSummary.Write(AnsiConsole.Console, result, output);
            }

            code = result.NeedsAPerson ? ExitCode.NeedsAPerson : code;
        }

        if (arguments.Json)
        {
            ProgramJson.Write(new { Runs = runs });
        }

        return code;
    }

    /// <summary>All of them before the first run: what is wrong with the last dump should not be told after an hour.</summary>
    private static (string Dump, OutputFolder Output)[] Outputs(Arguments arguments)
    {
        if (arguments.Dumps.Length == 1)
        {
            return [(arguments.Dumps[0], OutputFolder.Open(arguments.Out, arguments.Dumps[0]))];
        }

        (string Dump, string Name)[] named =
            [.. arguments.Dumps.Select(dump => (dump, Path.GetFileName(Path.TrimEndingDirectorySeparator(Path.GetFullPath(dump)))))];
        if (named.GroupBy(dump => dump.Name, StringComparer.Ordinal).FirstOrDefault(same => same.Count() > 1) is { } same)
        {
            throw new RunRefusedException(
                $"{string.Join(" and ", same.Select(dump => dump.Dump))} have one name, so their results would meet in one folder. Run them one by one.", wrongUsage: true);
        }

        return [.. named.Select(dump => (dump.Dump, OutputFolder.Open(Path.Combine(arguments.Out, dump.Name), dump.Dump)))];
    }

    private static async Task<DumpResult> SyncAsync(RunRequest request, bool silent, CancellationToken cancellation)
    {
        await using Logger log = new LoggerConfiguration()
            .WriteTo.File(
                Path.Combine(request.Output.FullPath, "syncbench.log"), formatProvider: CultureInfo.InvariantCulture)
            .CreateLogger();
        var run = new DumpRun(log, TimeProvider.System);
        try
        {
            return !silent && AnsiConsole.Profile.Capabilities.Interactive && !Console.IsOutputRedirected
                ? await ProgressBars.ShowAsync(progress => run.RunAsync(request, progress, cancellation))
                : await run.RunAsync(request, progress: null, cancellation);
        }
        catch (Exception exception) when (exception is not RunRefusedException)
        {
            log.Error(exception, "The run of {Dump} ended early", request.DumpFolder);
            throw;
        }
    }
}
