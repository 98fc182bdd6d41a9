using SyncBench.Benchmarks;

return args switch
{
    ["fft"] => FftBench.Run(),
    ["resample"] => ResampleBench.Run(),
    ["speed"] => await SpeedBench.RunAsync(),
    _ => Usage(),
};

static int Usage()
{
    Console.Error.WriteLine("usage: SyncBench.Benchmarks fft|resample|speed");
    return 2;
}
