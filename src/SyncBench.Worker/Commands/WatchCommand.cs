using System.ComponentModel;
using Spectre.Console.Cli;
using SyncBench.Pipeline;

namespace SyncBench.Worker.Commands;

/// <summary><c>syncbench watch</c>, here for its help: the service is a program of its own, which scripts/syncbench starts.</summary>
internal sealed class WatchCommand : Command<WatchCommand.Arguments>
{
    internal sealed class Arguments : CommandSettings
    {
        [CommandOption("-s|--settings <FILE>", isRequired: true)]
        [Description("Folders to watch, where results go, the page (JSON, see docs/service.md).")]
        public string Settings { get; init; } = string.Empty;
    }

    public override int Execute(CommandContext context, Arguments arguments, CancellationToken cancellationToken) =>
        throw new RunRefusedException("watch is a program of its own: start it by scripts/syncbench watch.", wrongUsage: true);
}
