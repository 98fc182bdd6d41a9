namespace SyncBench.Signal;

/// <summary>
/// A second-order section that runs over a stream: y = b0·x + b1·x₁ + b2·x₂ − a1·y₁ − a2·y₂, computed in double
/// (transposed direct form II), so that a corner far below the sample rate stays exact.
/// </summary>
/// <remarks>
/// The factories follow R. Bristow-Johnson, Audio EQ Cookbook (W3C Working Group Note, 2021): the analogue prototype
/// through the bilinear transform, its corner prewarped. One object serves one stream.
/// </remarks>
public sealed class Biquad
{
    private readonly double _b0, _b1, _b2, _a1, _a2;

    private double _first, _second;

    /// <summary>Coefficients scaled so that a0 is 1.</summary>
    public Biquad(double b0, double b1, double b2, double a1, double a2) =>
        (_b0, _b1, _b2, _a1, _a2) = (b0, b1, b2, a1, a2);

    /// <param name="rateHz">Sample rate.</param>
    /// <param name="cornerHz">Where gain is <paramref name="q"/>: −3 dB for a q of √½ (Butterworth).</param>
    /// <exception cref="ArgumentOutOfRangeException">The corner is not between 0 and half the rate.</exception>
    public static Biquad HighPass(double rateHz, double cornerHz, double q)
    {
        (double cos, double alpha) = Corner(rateHz, cornerHz, q);
        double a0 = 1 + alpha, b = (1 + cos) / 2 / a0;
        return new Biquad(b, -2 * b, b, -2 * cos / a0, (1 - alpha) / a0);
    }

    /// <inheritdoc cref="HighPass"/>
    public static Biquad LowPass(double rateHz, double cornerHz, double q)
    {
        (double cos, double alpha) = Corner(rateHz, cornerHz, q);
        double a0 = 1 + alpha, b = (1 - cos) / 2 / a0;
        return new Biquad(b, 2 * b, b, -2 * cos / a0, (1 - alpha) / a0);
    }

    /// <summary>Filters the next samples of the stream.</summary>
    /// <param name="output">Room for as many; may be the input itself.</param>
    /// <exception cref="ArgumentOutOfRangeException">Output is shorter than input.</exception>
    public void Process(ReadOnlySpan<float> input, Span<float> output)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(output.Length, input.Length, nameof(output));
        double first = _first, second = _second;
        for (int n = 0; n < input.Length; n++)
        {
            double x = input[n];
            double y = (_b0 * x) + first;
            first = (_b1 * x) - (_a1 * y) + second;
            second = (_b2 * x) - (_a2 * y);
            output[n] = (float)y;
        }

        (_first, _second) = (first, second);
    }

    private static (double Cos, double Alpha) Corner(double rateHz, double cornerHz, double q)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(cornerHz);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(cornerHz, rateHz / 2);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(q);
        (double sin, double cos) = Math.SinCos(2 * Math.PI * cornerHz / rateHz);
        return (cos, sin / (2 * q));
    }
}
