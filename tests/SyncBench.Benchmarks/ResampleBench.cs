using System.Diagnostics;
using System.Globalization;
using SyncBench.Signal;

namespace SyncBench.Benchmarks;

/// <summary>Speed of <see cref="RationalResampler"/> in blocks of a tenth of a second.</summary>
internal static class ResampleBench
{
    private const int Rounds = 31;

    private const int SecondsPerRound = 20;

    public static int Run()
    {
        Console.WriteLine("Resampling on one thread, million input samples a second: best (median)");
        foreach ((int from, int to) in ((int, int)[])[(48_000, 16_000), (44_100, 16_000), (96_000, 16_000)])
        {
            Measure(from, to);
        }

        return 0;
    }

    private static void Measure(int fromHz, int toHz)
    {
        var resampler = new RationalResampler(fromHz, toHz);
        float[] input = [.. Enumerable.Range(0, fromHz / 10).Select(n => MathF.Sin(n * 0.1f))];
        var output = new float[resampler.MaxOutput(input.Length)];
        var speeds = new List<double>();
        for (int round = 0; round < Rounds; round++)
        {
            long start = Stopwatch.GetTimestamp();
            for (int block = 0; block < SecondsPerRound * 10; block++)
            {
                resampler.Process(input, output);
            }

            speeds.Add(fromHz * SecondsPerRound / Stopwatch.GetElapsedTime(start).TotalMicroseconds);
        }

        double median = speeds.Order().ElementAt(Rounds / 2);
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture, $"{fromHz,6} to {toHz} Hz: {speeds.Max():0} ({median:0})"));
    }
}
