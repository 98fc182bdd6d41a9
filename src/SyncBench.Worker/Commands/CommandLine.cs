using System.Runtime.InteropServices;
using Spectre.Console.Cli;
using SyncBench.Intake;
using SyncBench.Pipeline;

namespace SyncBench.Worker.Commands;

/// <summary>The commands, their help, and how a failure is said: one line on standard error, never a stack trace.</summary>
internal static class CommandLine
{
    internal static async Task<int> RunAsync(string[] args)
    {
        var app = new CommandApp();
        app.Configure(config =>
        {
            config.SetApplicationName("syncbench");
            config.UseStrictParsing();
            config.SetExceptionHandler((exception, _) => Explain(exception, args.FirstOrDefault()));
            config.AddCommand<RunCommand>("run")
                .WithDescription("Sync a dump: place every clip on one clock, choose the mic, write timeline and report.")
                .WithExample("run", "/media/ropewalk-day2", "--out", "/media/ropewalk-day2-sync")
                .WithExample("run", "/media/ropewalk-day2", "--out", "results", "--settings", "ropewalk.json");
            config.AddCommand<VerifyCommand>("verify")
                .WithDescription("Hold a dump against its checksums (ASC MHL), or write them where there are none yet.")
                .WithExample("verify", "/media/ropewalk-day2")
                .WithExample("verify", "/media/ropewalk-day2", "--out", "/media/ropewalk-day2-sync");
            config.AddCommand<ProbeCommand>("probe")
                .WithDescription("Say what a file is, or every file of a folder: streams, rates, timecode, start.")
                .WithExample("probe", "/media/ropewalk-day2/CAM_A/A001C001.MP4");
            config.AddCommand<SettingsCommand>("settings")
                .WithDescription("Print the settings in effect, with all that is usual filled in.")
                .WithExample("settings", "ropewalk.json");
            config.AddCommand<WatchCommand>("watch")
                .WithDescription("The service: sync every dump that arrives in a folder, and show them on a page.")
                .WithExample("watch", "--settings", "service.json");
        });
        return WithoutValue(args) is { } option
            ? Explain(new RunRefusedException($"{option} needs a value. See: {Help(args[0])}", wrongUsage: true), args[0])
            : await StoppableAsync(stop => app.RunAsync(args, stop));
    }

    /// <summary>Who stops the program, by Ctrl+C or from outside, is to find neither half-written results nor its scratch folder.</summary>
    private static async Task<int> StoppableAsync(Func<CancellationToken, Task<int>> run)
    {
        using var stop = new CancellationTokenSource();
        using PosixSignalRegistration interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Stop);
        using PosixSignalRegistration terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Stop);
        return await run(stop.Token);

        void Stop(PosixSignalContext signal)
        {
            signal.Cancel = true;
            stop.Cancel();
        }
    }

    /// <summary>The library would take a word of its own for a value that is missing, and write into a folder of that name.</summary>
    private static string? WithoutValue(string[] args) => args
        .Where((word, i) => word is "--out" or "-o" or "--settings" or "-s" or "--hash"
            && (i + 1 == args.Length || args[i + 1].StartsWith("--", StringComparison.Ordinal)))
        .FirstOrDefault();

    private static string Help(string? command) =>
        command is "run" or "verify" or "probe" or "settings" or "watch" ? $"syncbench {command} --help" : "syncbench --help";

    /// <param name="command">The first word that was typed; null where there was none.</param>
    private static int Explain(Exception exception, string? command)
    {
        (int code, string line) = exception switch
        {
            RunRefusedException refused => (refused.WrongUsage ? ExitCode.WrongUsage : ExitCode.Failed, refused.Message),
            SettingsException settings => (ExitCode.WrongUsage, settings.Message),
            CommandParseException or CommandRuntimeException =>
                (ExitCode.WrongUsage, $"{exception.Message.TrimEnd('.')}. See: {Help(command)}"),
            OperationCanceledException => (ExitCode.Failed, "Stopped. Nothing half-written was left; run again to begin anew."),
            IOException or UnauthorizedAccessException =>
                (ExitCode.Failed, $"{exception.Message} Check disk space and permissions, then run again."),
            _ => (ExitCode.Failed, $"{command} failed: {exception.Message} ({exception.GetType().Name}).{(command == "run" ? " The log beside the results tells more." : string.Empty)}"),
        };
        Console.Error.WriteLine($"syncbench: {line.ReplaceLineEndings(" ")}");
        return code;
    }
}
