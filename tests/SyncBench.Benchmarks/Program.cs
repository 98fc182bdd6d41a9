using SyncBench.Benchmarks;

return args switch
{
    ["fft"] => FftBench.Run(),
    ["resample"] => ResampleBench.Run(),
    ["demo"] => await DemoBench.RunAsync(),
    ["speed"] => await SpeedBench.RunAsync(),
    _ => Usage(),
};

static int Usage()
{
    Console.Error.WriteLine("usage: SyncBench.Benchmarks fft|resample|demo|speed");
    return 2;
}
