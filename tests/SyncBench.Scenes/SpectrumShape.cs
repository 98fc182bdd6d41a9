using System.Numerics;
using SyncBench.Signal;

namespace SyncBench.Scenes;

/// <summary>A filter made from the gain it shall have at each frequency; it moves nothing in time.</summary>
/// <remarks>Frequency sampling: the inverse transform of the wanted gains under a Hann window.</remarks>
public static class SpectrumShape
{
    /// <param name="gain">Gain at a frequency in hertz.</param>
    /// <param name="taps">A power of two; the shape follows to about 2·48000/taps hertz.</param>
    public static Convolver Of(Func<double, double> gain, int taps = 8192)
    {
        RealFft fft = RealFft.OfSize((int)BitOperations.RoundUpToPowerOf2((uint)taps));
        var re = new float[fft.Bins];
        for (int bin = 0; bin < re.Length; bin++)
        {
            re[bin] = (float)gain((double)bin * Air.SampleRateHz / fft.Size);
        }

        var circular = new float[fft.Size];
        fft.Inverse(re, new float[fft.Bins], circular);
        int half = fft.Size / 2;
        var kernel = new float[fft.Size];
        for (int i = 0; i < kernel.Length; i++)
        {
            kernel[i] = circular[(i + half) % fft.Size] * (float)(0.5 - (0.5 * Math.Cos(2 * Math.PI * i / fft.Size)));
        }

        return new Convolver(kernel, half);
    }

    /// <summary>Passes one band and nothing else.</summary>
    public static Convolver Band(double lowHz, double highHz, int taps = 8192) =>
        Of(hz => hz >= lowHz && hz <= highHz ? 1 : 0, taps);
}
