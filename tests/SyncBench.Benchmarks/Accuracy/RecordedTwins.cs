using System.Numerics.Tensors;
using SyncBench.Scenes;
using SyncBench.Signal;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>
/// Prompts that hold one and the same recording: the packages cut some words from others. Clips with such words do belong
/// together, whatever the names of the files say.
/// </summary>
internal static class RecordedTwins
{
    private const int Decimation = 6, Size = 1 << 16; // 8 kHz, eight seconds

    /// <summary>
    /// Standard deviations of the phase transform: of two different recordings none of the 65,536 lags reaches 8 by chance
    /// (normal distribution), half a second of the same one in three reaches 25 and more.
    /// </summary>
    private const float Same = 20;

    /// <returns>For each prompt whether an earlier one shares a recording with it.</returns>
    internal static bool[] OfEarlier(float[][] prompts)
    {
        RealFft fft = RealFft.OfSize(Size);
        (float[] Re, float[] Im)[] spectra = [.. prompts.AsParallel().AsOrdered().Select(prompt => Whitened(prompt, fft))];
        var isTwin = new bool[prompts.Length];
        Parallel.For(1, prompts.Length, later =>
        {
            var (re, im, lags) = (new float[fft.Bins], new float[fft.Bins], new float[Size]);
            for (int earlier = 0; earlier < later && !isTwin[later]; earlier++)
            {
                ((float[] ar, float[] ai), (float[] br, float[] bi)) = (spectra[later], spectra[earlier]);
                Array.Clear(re);
                Array.Clear(im);
                CrossSpectrum.Add(ar, ai, br, bi, re, im);
                fft.Inverse(re, im, lags);
                isTwin[later] = TensorPrimitives.Max<float>(lags) > Same * TensorPrimitives.Norm<float>(lags) / MathF.Sqrt(Size);
            }
        });
        return isTwin;
    }

    private static (float[] Re, float[] Im) Whitened(float[] prompt, RealFft fft)
    {
        var resampler = new RationalResampler(Air.SampleRateHz, Air.SampleRateHz / Decimation);
        var sound = new float[Math.Max(Size, resampler.MaxOutput(prompt.Length) + resampler.MaxOutput(0))];
        int given = resampler.Process(prompt, sound);
        resampler.Finish(sound.AsSpan(given));
        var (re, im) = (new float[fft.Bins], new float[fft.Bins]);
        fft.Forward(sound.AsSpan(0, Size), re, im);
        for (int bin = 0; bin < fft.Bins; bin++)
        {
            float magnitude = MathF.Sqrt((re[bin] * re[bin]) + (im[bin] * im[bin]));
            bool isHeard = bin > Size / 40 && magnitude > 0; // 200 Hz
            (re[bin], im[bin]) = isHeard ? (re[bin] / magnitude, im[bin] / magnitude) : (0, 0);
        }

        return (re, im);
    }
}
