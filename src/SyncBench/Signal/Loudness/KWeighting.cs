namespace SyncBench.Signal.Loudness;

/// <summary>
/// The K-weighting filter of ITU-R BS.1770 (annex 1) for any sample rate: a shelf for the head, then a high-pass.
/// </summary>
/// <remarks>
/// The recommendation gives coefficients for 48 kHz alone. They are the bilinear transform of the analogue filters whose
/// parameters stand below, so the same transform gives every other rate; at 48 kHz it gives the published table to
/// 10⁻¹². Parameters as in libebur128 (from memory), which found them by undoing the transform.
/// </remarks>
/// <param name="Shelf">First stage.</param>
/// <param name="HighPass">Second stage; its b is 1, −2, 1.</param>
internal readonly record struct KWeighting(KWeighting.Section Shelf, KWeighting.Section HighPass)
{
    private const double ShelfHz = 1681.974450955533;
    private const double ShelfDb = 3.999843853973347;
    private const double ShelfQ = 0.7071752369554196;
    private const double ShelfBandExponent = 0.4996667741545416;
    private const double HighPassHz = 38.13547087602444;
    private const double HighPassQ = 0.5003270373238773;

    /// <summary>A second-order section, a0 = 1.</summary>
    internal readonly record struct Section(double B0, double B1, double B2, double A1, double A2);

    /// <exception cref="ArgumentOutOfRangeException">The shelf does not lie below half the rate.</exception>
    public static KWeighting At(double rateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(rateHz, 2 * ShelfHz);
        double k = Math.Tan(Math.PI * ShelfHz / rateHz);
        double high = Math.Pow(10, ShelfDb / 20), band = Math.Pow(high, ShelfBandExponent);
        double a0 = 1 + (k / ShelfQ) + (k * k);
        var shelf = new Section(
            (high + (band * k / ShelfQ) + (k * k)) / a0,
            2 * ((k * k) - high) / a0,
            (high - (band * k / ShelfQ) + (k * k)) / a0,
            2 * ((k * k) - 1) / a0,
            (1 - (k / ShelfQ) + (k * k)) / a0);

        k = Math.Tan(Math.PI * HighPassHz / rateHz);
        a0 = 1 + (k / HighPassQ) + (k * k);
        return new KWeighting(
            shelf, new Section(1, -2, 1, 2 * ((k * k) - 1) / a0, (1 - (k / HighPassQ) + (k * k)) / a0));
    }
}
