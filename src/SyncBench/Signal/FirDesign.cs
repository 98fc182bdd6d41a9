namespace SyncBench.Signal;

/// <summary>Finite impulse responses.</summary>
public static class FirDesign
{
    /// <summary>
    /// A linear-phase low-pass of unity gain at zero frequency: a sinc under a Kaiser window, of odd length, so that
    /// its delay is the whole number (length − 1)/2 of samples.
    /// </summary>
    /// <param name="rateHz">Sample rate.</param>
    /// <param name="passHz">Up to here gain is 1 within twice the ripple 10^(−attenuation/20).</param>
    /// <param name="stopHz">From here on gain is below the attenuation.</param>
    /// <param name="attenuationDb">
    /// Positive; at least 21, below which Kaiser's formula does not hold. Kept to 1.5 dB: the formula is empirical.
    /// </param>
    /// <remarks>
    /// Kaiser, Nonrecursive digital filter design using the I0-sinh window function, ISCAS 1974:
    /// length = (A − 7.95)/(2.285·Δω) + 1, β by <see cref="KaiserBeta"/>.
    /// </remarks>
    /// <exception cref="ArgumentOutOfRangeException">The edges are not 0 &lt; pass &lt; stop ≤ rate/2.</exception>
    public static float[] LowPass(double rateHz, double passHz, double stopHz, double attenuationDb) =>
        Array.ConvertAll(LowPassExact(rateHz, passHz, stopHz, attenuationDb, 1), x => (float)x);

    /// <inheritdoc cref="LowPass"/>
    /// <param name="delayMultiple">The delay is rounded up to a multiple of this many samples.</param>
    internal static double[] LowPassExact(
        double rateHz, double passHz, double stopHz, double attenuationDb, int delayMultiple)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(passHz);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(stopHz, passHz);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(stopHz, rateHz / 2);
        ArgumentOutOfRangeException.ThrowIfLessThan(attenuationDb, 21);

        double width = 2 * Math.PI * (stopHz - passHz) / rateHz;
        double order = (attenuationDb - 7.95) / (2.285 * width);
        int delay = (int)Math.Ceiling(order / 2 / delayMultiple) * delayMultiple;
        double cutoff = (passHz + stopHz) / rateHz; // of Nyquist
        double[] taps = Window.KaiserExact((2 * delay) + 1, KaiserBeta(attenuationDb));
        for (int i = 0; i < taps.Length; i++)
        {
            double x = Math.PI * cutoff * (i - delay);
            taps[i] *= i == delay ? 1 : Math.Sin(x) / x;
        }

        double gain = taps.Sum();
        return Array.ConvertAll(taps, tap => tap / gain);
    }

    /// <summary>
    /// Weights of the samples around a place between two of them: a sinc under a Kaiser window, of sum 1, so that no place
    /// is louder than another. Tap k weighs the sample that comes <c>k − before</c> samples after the one before the place.
    /// </summary>
    /// <param name="fraction">How far the place lies behind that sample, 0 to 1.</param>
    /// <param name="cutoff">Cycles a sample; 0.5 lets all pass.</param>
    /// <param name="half">Half the window's length in samples: what lies further has no weight.</param>
    internal static float[] Between(int taps, int before, double fraction, double cutoff, double half, double beta)
    {
        double[] weights = new double[taps];
        for (int k = 0; k < taps; k++)
        {
            double x = k - before - fraction, inside = 1 - (x / half * (x / half));
            double sinc = x == 0 ? 1 : Math.Sin(2 * Math.PI * cutoff * x) / (2 * Math.PI * cutoff * x);
            weights[k] = inside <= 0 ? 0 : sinc * MathNet.Numerics.SpecialFunctions.BesselI0(beta * Math.Sqrt(inside));
        }

        double sum = weights.Sum();
        return Array.ConvertAll(weights, weight => (float)(weight / sum));
    }

    /// <summary>Kaiser 1974: the β whose window attenuates by <paramref name="attenuationDb"/>.</summary>
    internal static double KaiserBeta(double attenuationDb) => attenuationDb switch
    {
        > 50 => 0.1102 * (attenuationDb - 8.7),
        > 21 => (0.5842 * Math.Pow(attenuationDb - 21, 0.4)) + (0.07886 * (attenuationDb - 21)),
        _ => 0,
    };
}
