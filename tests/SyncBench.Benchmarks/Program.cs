using SyncBench.Benchmarks;

return args switch
{
    ["fft"] => FftBench.Run(),
    ["resample"] => ResampleBench.Run(),
    ["demo"] => await DemoBench.RunAsync(),
    ["speed"] => await SpeedBench.RunAsync(),
    ["accuracy", .. string[] options] => await AccuracyBench.RunAsync(options),
    _ => Usage(),
};

static int Usage()
{
    Console.Error.WriteLine("usage: SyncBench.Benchmarks fft|resample|demo|speed|accuracy");
    return 2;
}
