using SyncBench.Intake;
using SyncBench.Pipeline;
using SyncBench.Service;
using SyncBench.Service.Settings;

if (args is not ["--settings" or "-s", string file])
{
    bool help = args is ["--help" or "-h"];
    await (help ? Console.Out : Console.Error).WriteLineAsync(
        "syncbench watch --settings FILE    watch folders and sync every dump that arrives; see docs/service.md");
    return help ? 0 : 2;
}

try
{
    await WatchService.RunAsync(ServiceSettings.Load(file));
    return 0;
}
catch (SettingsException wrong)
{
    await Console.Error.WriteLineAsync($"syncbench: {wrong.Message.ReplaceLineEndings(" ")}");
    return 2;
}
catch (Exception failure) when (failure is RunRefusedException or IOException or UnauthorizedAccessException)
{
    await Console.Error.WriteLineAsync($"syncbench: {failure.Message.ReplaceLineEndings(" ")}");
    return 1;
}
