using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using SyncBench.Alignment;
using SyncBench.Scenes;
using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>
/// The level of a sound with each one-third octave counted as much as it adds to the understanding of speech (band importance of
/// ANSI S3.5-1997): the difference of two such levels is the speech-to-noise ratio that the choice of mic is held against.
/// </summary>
/// <remarks>Measured by Welch's method on the signals before they are mixed, so it is known whatever the choice makes of them.</remarks>
internal static class ImportanceWeighted
{
    private const int Length = 4096;

    private static readonly double[] Taper = MathNet.Numerics.Window.HannPeriodic(Length);

    internal static double Db(float[] sound, IReadOnlyList<(double From, double To)> stretches)
    {
        var power = new double[Length / 2];
        int windows = 0;
        foreach ((double from, double to) in stretches)
        {
            int end = Math.Min(sound.Length, (int)(to * Air.SampleRateHz));
            for (int at = (int)(from * Air.SampleRateHz); at + Length <= end; at += Length / 2, windows++)
            {
                Complex[] spectrum = [.. Enumerable.Range(0, Length).Select(i => new Complex(sound[at + i] * Taper[i], 0))];
                Fourier.Forward(spectrum, FourierOptions.NoScaling);
                for (int bin = 0; bin < power.Length; bin++)
                {
                    power[bin] += (spectrum[bin].Real * spectrum[bin].Real) + (spectrum[bin].Imaginary * spectrum[bin].Imaginary);
                }
            }
        }

        double sum = 0;
        for (int band = 0; band < BandLevels.Bands; band++)
        {
            double centre = BandLevels.CentreHz[band], edge = Math.Pow(10, 0.05);
            int first = (int)Math.Ceiling(centre / edge * Length / Air.SampleRateHz), end = (int)Math.Ceiling(centre * edge * Length / Air.SampleRateHz);
            double inBand = Enumerable.Range(first, end - first).Sum(bin => power[bin]) / windows;
            sum += SpeechBands.Importance[band] == 0 ? 0 : SpeechBands.Importance[band] * 10 * Math.Log10(inBand);
        }

        return sum;
    }
}
