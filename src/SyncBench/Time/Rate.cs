using System.Globalization;
using System.Numerics;

namespace SyncBench.Time;

/// <summary>Units per second, exactly: 48000/1 samples, 30000/1001 frames. Reduced; both parts positive.</summary>
public readonly record struct Rate
{
    /// <exception cref="ArgumentOutOfRangeException">A part is zero or negative.</exception>
    public Rate(int numerator, int denominator = 1)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(numerator);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(denominator);
        int divisor = (int)BigInteger.GreatestCommonDivisor(numerator, denominator);
        (Numerator, Denominator) = (numerator / divisor, denominator / divisor);
    }

    public static Rate Hz48000 { get; } = new(48_000);

    public static Rate Fps25 { get; } = new(25);

    public static Rate Ntsc30 { get; } = new(30_000, 1_001);

    public int Numerator { get; }

    public int Denominator { get; }

    /// <summary>Units per second as the nearest double: 29.97002997002997 for 30000/1001.</summary>
    public double PerSecond => (double)Numerator / Denominator;

    /// <summary>The length of one unit.</summary>
    public MediaTime Unit => MediaTime.FromUnits(1, this);

    /// <summary>Half of it, exactly.</summary>
    public MediaTime HalfUnit => MediaTime.FromUnits(1, new Rate(2 * Numerator, Denominator));

    public override string ToString() =>
        string.Create(CultureInfo.InvariantCulture, $"{Numerator}/{Denominator}");
}
