using SyncBench.Benchmarks;
using SyncBench.Benchmarks.Speed;

return args switch
{
    ["fft"] => FftBench.Run(quick: false),
    ["fft", "--quick"] => FftBench.Run(quick: true),
    ["resample"] => ResampleBench.Run(),
    ["loudness"] => await LoudnessBench.RunAsync(),
    ["demo"] => await DemoBench.RunAsync(),
    ["faults", .. string[] options] => await FaultsBench.RunAsync(options),
    ["hash"] => await HashBench.RunAsync(quick: false),
    ["hash", "--quick"] => await HashBench.RunAsync(quick: true),
    ["speed", .. string[] options] => await SpeedBench.RunAsync(options),
    ["accuracy", .. string[] options] => await AccuracyBench.RunAsync(options),
    ["answers", .. string[] options] => await AnswersBench.RunAsync(options),
    ["selection", .. string[] options] => await SelectionBench.RunAsync(options),
    ["report"] => await ReportBench.RunAsync(),
    ["service", .. string[] options] => await ServiceBench.RunAsync(options),
    _ => Usage(),
};

static int Usage()
{
    Console.Error.WriteLine("usage: SyncBench.Benchmarks fft|resample|hash|faults|loudness|demo|speed|accuracy|selection|answers|report|service");
    return 2;
}
