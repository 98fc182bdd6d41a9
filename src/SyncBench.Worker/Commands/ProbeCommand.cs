using System.Collections.Immutable;
using System.ComponentModel;
using Spectre.Console.Cli;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Pipeline;
using SyncBench.Reporting;

namespace SyncBench.Worker.Commands;

/// <summary><c>syncbench probe PATH</c></summary>
internal sealed class ProbeCommand : AsyncCommand<ProbeCommand.Arguments>
{
    internal sealed class Arguments : CommandSettings
    {
        [CommandArgument(0, "<PATH>")]
        [Description("A media file, or a folder of them.")]
        public string Path { get; init; } = string.Empty;

        [CommandOption("--json")]
        [Description(ProgramJson.Help)]
        public bool Json { get; init; }
    }

    public override async Task<int> ExecuteAsync(
        CommandContext context, Arguments arguments, CancellationToken cancellationToken)
    {
        int code = ExitCode.Done;
        var probes = new List<object>();
        foreach (MediaFile file in Files(arguments.Path))
        {
            ProbeResult probed = await MediaProbe.ProbeAsync(file, cancellationToken);
            code = probed.Media is null ? ExitCode.NeedsAPerson : code;
            if (arguments.Json)
            {
                probes.Add(new { file.Path, file.Bytes, probed.Problem, Media = probed.Media is { } media ? MediaJson.Of(media) : null });
            }
            else
            {
                Console.Out.WriteLine(probed.Media is { } card ? ProbeCard.Of(card) : ProbeCard.OfUnreadable(file, probed.Problem));
            }
        }

        if (arguments.Json)
        {
            ProgramJson.Write(new { Files = probes });
        }

        return code;
    }

    private static ImmutableArray<MediaFile> Files(string path)
    {
        if (Directory.Exists(path))
        {
            return DumpLister.List(path).Files;
        }

        var file = new FileInfo(path);
        return file.Exists
            ? [new MediaFile(file.Name, file.FullName, file.Length)]
            : throw new RunRefusedException($"{path}: there is no such file or folder. Check the path.", wrongUsage: true);
    }
}
