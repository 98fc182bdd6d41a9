using System.ComponentModel;
using System.Globalization;
using Spectre.Console;
using Spectre.Console.Cli;
using SyncBench.Intake;
using SyncBench.Intake.Integrity;
using SyncBench.Pipeline;

namespace SyncBench.Worker.Commands;

/// <summary><c>syncbench verify DUMP</c></summary>
internal sealed class VerifyCommand : AsyncCommand<VerifyCommand.Arguments>
{
    internal sealed class Arguments : CommandSettings
    {
        [CommandArgument(0, "<DUMP>")]
        [Description("Folder copied from the cards. It is only read, unless --in-dump is given.")]
        public string Dump { get; init; } = string.Empty;

        [CommandOption("-o|--out <FOLDER>")]
        [Description("Write a manifest there (folder ascmhl), and verify by those that earlier calls wrote.")]
        public string? Out { get; init; }

        [CommandOption("--in-dump")]
        [Description("Write the manifest into the dump itself: the only case in which a dump is written to.")]
        public bool InDump { get; init; }

        [CommandOption("--hash <KIND>")]
        [Description("Checksum of a new manifest: xxh128 (usual), xxh3, xxh64, md5, sha1 or c4.")]
        public string Hash { get; init; } = HashKind.Xxh128.InMhl();

        [CommandOption("--json")]
        [Description(ProgramJson.Help)]
        public bool Json { get; init; }
    }

    public override async Task<int> ExecuteAsync(
        CommandContext context, Arguments arguments, CancellationToken cancellationToken)
    {
        HashKind kind = HashKindNames.Of(arguments.Hash) ?? throw new RunRefusedException(
            $"{arguments.Hash}: there is no such checksum. Choose xxh128, xxh3, xxh64, md5, sha1 or c4.", wrongUsage: true);
        OutputFolder? output = arguments.Out is { } folder ? OutputFolder.Open(folder, arguments.Dump) : null;
        var request = new VerifyRequest(arguments.Dump, output, arguments.InDump, kind);
        var verification = new DumpVerification(TimeProvider.System);
        VerifyResult result = !arguments.Json && AnsiConsole.Profile.Capabilities.Interactive && !Console.IsOutputRedirected
            ? await ByteBar.ShowAsync(progress => verification.RunAsync(request, progress, cancellationToken))
            : await verification.RunAsync(request, progress: null, cancellationToken);
        if (arguments.Json)
        {
            ProgramJson.Write(ForPrograms(result));
        }
        else
        {
            Say(result);
        }

        return result.NeedsAPerson ? ExitCode.NeedsAPerson : ExitCode.Done;
    }

    private static object ForPrograms(VerifyResult result) => new
    {
        result.NeedsAPerson,
        result.HadManifest,
        BytesRead = result.Bytes,
        result.Check.Generations,
        Files = result.Check.Files.Select(file => new { file.Path, Check = InWords(file.Check), file.Reason }),
        NotRead = result.Refused.Select(entry => new { entry.Path, entry.Problem }),
        result.Check.ManifestProblems,
        result.Manifests,
    };

    private static string InWords(FileCheck check) => check.ToString().ToLowerInvariant();

    private static void Say(VerifyResult result)
    {
        foreach (CheckedFile file in result.Check.Files.Where(file => file.Check != FileCheck.Verified && (result.HadManifest || file.Check != FileCheck.Unknown)))
        {
            Line($"{InWords(file.Check),-10} {file.Path}: {file.Reason}");
        }

        foreach (RefusedEntry entry in result.Refused)
        {
            Line($"{"not read",-10} {entry.Path}: {entry.Problem}");
        }

        foreach (string problem in result.Check.ManifestProblems)
        {
            Line($"{"manifest",-10} {problem}");
        }

        string counts = result.HadManifest
            ? string.Join(", ", Enum.GetValues<FileCheck>().Select(check => string.Create(
                CultureInfo.InvariantCulture, $"{result.Check.Files.Count(file => file.Check == check)} {InWords(check)}")))
                + string.Create(CultureInfo.InvariantCulture, $"; {result.Check.Generations} generation(s) of manifests")
            : "no manifest was there to verify by";
        Line(string.Create(
            CultureInfo.InvariantCulture,
            $"{result.Check.Files.Length} files, {result.Bytes / 1e9:0.00} GB read: {counts}. Keep the cards until two verified copies exist."));
        foreach (string manifest in result.Manifests)
        {
            Line($"manifest   {manifest}");
        }
    }

    private static void Line(string text) => Console.Out.WriteLine(text.ReplaceLineEndings(" "));
}
