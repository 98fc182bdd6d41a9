namespace SyncBench.Scenes;

/// <summary>The air that sound travels through, and the grid on which sound in it is computed.</summary>
public static class Air
{
    /// <summary>
    /// Metres a second at 20 °C: the reference speed of ISO 9613-1:1993, c = 343.2·√(T/293.15 K)
    /// (value from secondary sources; the standard's text was not at hand).
    /// </summary>
    public const double SpeedOfSound = 343.2;

    /// <summary>Samples a second of true time: every sound in the air is held on this grid.</summary>
    public const int SampleRateHz = 48_000;

    /// <summary>How long sound takes over a distance, in seconds.</summary>
    public static double TravelSeconds(double metres) => metres / SpeedOfSound;
}
