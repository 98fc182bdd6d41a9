namespace SyncBench.Scenes;

/// <summary>The crystal of a camera or recorder: how its time runs against true time.</summary>
/// <param name="Ppm">Parts per million by which a second of this clock is longer than a true second.</param>
/// <param name="SampleRateHz">What the device calls its sample rate.</param>
public sealed record DeviceClock(double Ppm, int SampleRateHz = 48_000)
{
    /// <summary>
    /// What <see cref="Ppm"/> grows by as the device warms up, by the exponential law of Newton's cooling: a crystal
    /// follows its temperature. A camera or recorder needs some tens of minutes (common practice), and a crystal
    /// moves by 1 to 2 ppm over the 10 to 20 degrees of it (from memory).
    /// </summary>
    public double WarmingPpm { get; init; }

    private const double WarmingSeconds = 600;

    /// <summary>True seconds from sample 0 to an instant of this device.</summary>
    public double TrueSecondsAt(double deviceSeconds) => (deviceSeconds * TrueSeconds) + Warming(deviceSeconds);

    /// <summary>The integral of WarmingPpm·(1 − e^(−t/600 s)).</summary>
    private double Warming(double seconds) => WarmingPpm == 0
        ? 0
        : WarmingPpm * 1e-6 * (seconds - (WarmingSeconds * (1 - Math.Exp(-seconds / WarmingSeconds))));

    /// <summary>True seconds in one second of this device, before it warms up.</summary>
    public double TrueSeconds => 1 + (Ppm * 1e-6);

    /// <summary>
    /// What this device's converter takes from a sound in the air: sample n is the sound's value at the true instant
    /// start + n·(1 + ppm·10⁻⁶)/rate, whatever lies between the samples of the grid.
    /// </summary>
    /// <param name="air">On the grid of <see cref="Air.SampleRateHz"/>, from true time zero; silent beyond its ends.</param>
    /// <param name="startSeconds">True time of sample 0.</param>
    public float[] Record(float[] air, double startSeconds, int count)
    {
        double step = TrueSeconds * Air.SampleRateHz / SampleRateHz;
        double first = startSeconds * Air.SampleRateHz;
        WindowedSinc sinc = SampleRateHz >= Air.SampleRateHz ? SameRate : new WindowedSinc(1 / step);
        var samples = new float[count];
        for (int n = 0; n < count; n++)
        {
            // A converter has no room above full scale.
            double warming = Warming((double)n / SampleRateHz) * Air.SampleRateHz;
            samples[n] = Math.Clamp(sinc.At(air, first + (n * step) + warming), -1f, 1f);
        }

        return samples;
    }

    // A clock within a part in a thousand of the grid's own leaves the pass band as it is.
    private static WindowedSinc SameRate { get; } = new();
}
