using System.ComponentModel;
using Spectre.Console.Cli;
using SyncBench.Intake;

namespace SyncBench.Worker.Commands;

/// <summary><c>syncbench settings [FILE]</c></summary>
internal sealed class SettingsCommand : Command<SettingsCommand.Arguments>
{
    internal sealed class Arguments : CommandSettings
    {
        [CommandArgument(0, "[FILE]")]
        [Description("A settings file; without one, the usual settings.")]
        public string? File { get; init; }
    }

    public override int Execute(CommandContext context, Arguments arguments, CancellationToken cancellationToken)
    {
        Console.Out.WriteLine((arguments.File is { } file ? DumpSettings.Load(file) : DumpSettings.Usual).InEffect());
        return ExitCode.Done;
    }
}
