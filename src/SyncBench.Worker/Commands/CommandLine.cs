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
            config.SetExceptionHandler((exception, _) => Explain(exception));
            config.AddCommand<RunCommand>("run")
                .WithDescription("Sync one dump: place every clip on one clock, choose the mic, write timeline and report.")
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
        return await app.RunAsync(args);
    }

    private static int Explain(Exception exception)
    {
        (int code, string line) = exception switch
        {
            RunRefusedException refused => (refused.WrongUsage ? ExitCode.WrongUsage : ExitCode.Failed, refused.Message),
            SettingsException settings => (ExitCode.WrongUsage, settings.Message),
            CommandParseException or CommandRuntimeException =>
                (ExitCode.WrongUsage, $"{exception.Message.TrimEnd('.')}. See: syncbench --help"),
            OperationCanceledException => (ExitCode.Failed, "Stopped. Nothing half-written was left; run again to begin anew."),
            IOException or UnauthorizedAccessException =>
                (ExitCode.Failed, $"{exception.Message} Check disk space and permissions, then run again."),
            _ => (ExitCode.Failed, $"The run failed: {exception.Message} ({exception.GetType().Name}). The log beside the results tells more."),
        };
        Console.Error.WriteLine($"syncbench: {line.ReplaceLineEndings(" ")}");
        return code;
    }
}
