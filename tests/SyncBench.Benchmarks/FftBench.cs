using System.Diagnostics;
using System.Globalization;
using MathNet.Numerics.IntegralTransforms;
using SyncBench.Signal;

namespace SyncBench.Benchmarks;

/// <summary>
/// Our real transform against FFTW and MathNet on one thread. The three take turns within one run, so that a
/// neighbour on the machine slows them alike; the least time is what the code can do, the median what it did.
/// </summary>
internal static class FftBench
{
    private const int UsualRounds = 41, QuickRounds = 3;

    private const int SamplesPerTurn = 1 << 20;

    private static readonly int[] Sizes = [1 << 9, 1 << 12, 1 << 15, 1 << 16, 1 << 18, 1 << 20];

    internal static int Run(bool quick)
    {
        if (!Fftw.IsInstalled)
        {
            Console.Error.WriteLine($"{Fftw.Library} is missing: install the Debian package {Fftw.DebianPackage}.");
            return 1;
        }

        Console.WriteLine("Forward transform of real samples, one thread, microseconds: least (median)");
        Console.WriteLine($"{"size",8} {"ours",22} {"ours, inverse",22} {"FFTW",22} {"MathNet",22} {"ours / FFTW",14}");
        foreach (int size in Sizes)
        {
            Measure(size, quick ? QuickRounds : UsualRounds);
        }

        return 0;
    }

    private static void Measure(int size, int rounds)
    {
        RealFft fft = RealFft.OfSize(size);
        var random = new Random(1);
        var samples = new float[size];
        foreach (ref float sample in samples.AsSpan())
        {
            sample = (float)(random.NextDouble() - 0.5);
        }

        float[] re = new float[fft.Bins], im = new float[fft.Bins], back = new float[size];
        var padded = new float[size + 2]; // MathNet packs the spectrum over the samples
        using var fftw = new Fftw(size);
        samples.CopyTo(fftw.Samples(size));

        int calls = Math.Max(1, SamplesPerTurn / size);
        var turns = new (Action Call, int Calls, List<double> Times)[]
        {
            (() => fft.Forward(samples, re, im), calls, []),
            (() => fft.Inverse(re, im, back), calls, []),
            (fftw.Forward, calls, []),
            (() => MathNetForward(samples, padded), Math.Max(1, calls / 32), []),
        };
        for (int round = -2; round < rounds; round++)
        {
            foreach ((Action call, int count, List<double> times) in turns)
            {
                long start = Stopwatch.GetTimestamp();
                for (int i = 0; i < count; i++)
                {
                    call();
                }

                double microseconds = Stopwatch.GetElapsedTime(start).TotalMicroseconds / count;
                if (round >= 0)
                {
                    times.Add(microseconds);
                }
            }
        }

        double ratio = turns[0].Times.Min() / turns[2].Times.Min();
        double medianRatio = Median(turns[0].Times) / Median(turns[2].Times);
        string cells = string.Join(' ', turns.Select(turn => $"{Cell(turn.Times),22}"));
        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture, $"{size,8} {cells} {ratio,6:0.00} ({medianRatio:0.00})"));
    }

    private static void MathNetForward(float[] samples, float[] padded)
    {
        samples.CopyTo(padded, 0);
        Fourier.ForwardReal(padded, samples.Length, FourierOptions.AsymmetricScaling);
    }

    private static string Cell(List<double> times) =>
        string.Create(CultureInfo.InvariantCulture, $"{times.Min():0.00} ({Median(times):0.00})");

    private static double Median(List<double> times) => times.Order().ElementAt(times.Count / 2);
}
