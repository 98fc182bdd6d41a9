namespace SyncBench.Signal;

/// <summary>Window functions.</summary>
public static class Window
{
    /// <summary>
    /// The periodic Hann window, for spectra: w[i] = (1 − cos 2πi/n)/2, so that halves that overlap by n/2 add up to 1.
    /// </summary>
    /// <param name="n">Points, at least 1.</param>
    public static float[] Hann(int n)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        var window = new float[n];
        for (int i = 0; i < n; i++)
        {
            window[i] = (float)(0.5 - (0.5 * Math.Cos(2 * Math.PI * i / n)));
        }

        return window;
    }

    /// <summary>
    /// The symmetric Kaiser window, for filter design: w[i] = I0(β√(1 − (2i/(n−1) − 1)²)) / I0(β)
    /// (Oppenheim and Schafer, Discrete-Time Signal Processing, section 7.5.3).
    /// </summary>
    /// <param name="n">Points, at least 1.</param>
    /// <param name="beta">Shape: 0 is a rectangle, 9 gives side lobes near −90 dB.</param>
    public static float[] Kaiser(int n, double beta) => Array.ConvertAll(KaiserExact(n, beta), x => (float)x);

    /// <inheritdoc cref="Kaiser"/>
    internal static double[] KaiserExact(int n, double beta)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        double peak = MathNet.Numerics.SpecialFunctions.BesselI0(beta);
        var window = new double[n];
        for (int i = 0; i < n; i++)
        {
            double x = n == 1 ? 0 : (2.0 * i / (n - 1)) - 1;
            window[i] = MathNet.Numerics.SpecialFunctions.BesselI0(beta * Math.Sqrt(1 - (x * x))) / peak;
        }

        return window;
    }
}
