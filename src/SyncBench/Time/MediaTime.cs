using System.Globalization;
using System.Numerics;

namespace SyncBench.Time;

/// <summary>
/// An exact signed time in seconds, held as a reduced fraction. It stands for an instant on a stated
/// clock or for a length; which of the two is said by the name of the property that holds it.
/// </summary>
/// <remarks>
/// 1 sample at 48 kHz is 1/48000 s and 1 frame at 29.97 fps is 1001/30000 s, so neither is a whole
/// number of nanoseconds: counting in ticks would drift, counting in fractions does not.
/// The default value is <see cref="Zero"/>. Immutable.
/// </remarks>
public readonly struct MediaTime : IEquatable<MediaTime>, IComparable<MediaTime>,
    IAdditionOperators<MediaTime, MediaTime, MediaTime>,
    ISubtractionOperators<MediaTime, MediaTime, MediaTime>,
    IComparisonOperators<MediaTime, MediaTime, bool>
{
    private const long NanosecondsPerSecond = 1_000_000_000;

    private readonly long _denominatorLessOne; // so that default(MediaTime) is 0/1

    private MediaTime(long numerator, long denominator)
    {
        Numerator = numerator;
        _denominatorLessOne = denominator - 1;
    }

    /// <summary>No time.</summary>
    public static MediaTime Zero => default;

    /// <summary>Seconds × <see cref="Denominator"/>. Carries the sign.</summary>
    public long Numerator { get; }

    /// <summary>Always at least 1; shares no factor with <see cref="Numerator"/>.</summary>
    public long Denominator => _denominatorLessOne + 1;

    /// <summary>The time of <paramref name="count"/> units (samples or frames) at <paramref name="rate"/>.</summary>
    /// <exception cref="OverflowException">The reduced fraction does not fit in 64 bits.</exception>
    public static MediaTime FromUnits(long count, Rate rate) =>
        Reduce((Int128)count * rate.Denominator, rate.Numerator);

    /// <summary>As <see cref="Numerator"/> and <see cref="Denominator"/> told it.</summary>
    internal static MediaTime OfFraction(long numerator, long denominator) => Reduce(numerator, denominator);

    /// <summary>
    /// A measured time, rounded to the nearest nanosecond: the one door by which an estimate becomes exact.
    /// </summary>
    /// <exception cref="OverflowException">Not finite, or beyond 292 years.</exception>
    public static MediaTime FromSeconds(double seconds) =>
        Reduce(checked((long)Math.Round(seconds * NanosecondsPerSecond)), NanosecondsPerSecond);

    public static MediaTime FromMilliseconds(double milliseconds) => FromSeconds(milliseconds / 1000);

    /// <summary>The number of whole units at <paramref name="rate"/> nearest this time; a half goes to even.</summary>
    public long ToNearestUnit(Rate rate)
    {
        (Int128 floor, Int128 remainder, Int128 divisor) = Units(rate);
        int half = (remainder * 2).CompareTo(divisor);
        return checked((long)(half > 0 || (half == 0 && Int128.IsOddInteger(floor)) ? floor + 1 : floor));
    }

    /// <summary>The number of units at <paramref name="rate"/> that have begun by this time, toward −∞.</summary>
    public long ToUnitFloor(Rate rate) => checked((long)Units(rate).Floor);

    /// <summary>The first unit at <paramref name="rate"/> that does not begin before this time.</summary>
    public long ToUnitCeiling(Rate rate)
    {
        (Int128 floor, Int128 remainder, _) = Units(rate);
        return checked((long)(remainder == 0 ? floor : floor + 1));
    }

    /// <summary>Seconds, rounded to the nearest double. For display and for estimators, never for storage.</summary>
    public double ToSeconds() => (double)Numerator / Denominator;

    public double ToMilliseconds() => ToSeconds() * 1000;

    public static MediaTime Min(MediaTime left, MediaTime right) => left <= right ? left : right;

    public static MediaTime Max(MediaTime left, MediaTime right) => left >= right ? left : right;

    public static MediaTime Abs(MediaTime value) => value < Zero ? Zero - value : value;

    public static MediaTime operator +(MediaTime left, MediaTime right) => Reduce(
        ((Int128)left.Numerator * right.Denominator) + ((Int128)right.Numerator * left.Denominator),
        (Int128)left.Denominator * right.Denominator);

    public static MediaTime operator -(MediaTime left, MediaTime right) => Reduce(
        ((Int128)left.Numerator * right.Denominator) - ((Int128)right.Numerator * left.Denominator),
        (Int128)left.Denominator * right.Denominator);

    public static bool operator ==(MediaTime left, MediaTime right) => left.Equals(right);

    public static bool operator !=(MediaTime left, MediaTime right) => !left.Equals(right);

    public static bool operator <(MediaTime left, MediaTime right) => left.CompareTo(right) < 0;

    public static bool operator >(MediaTime left, MediaTime right) => left.CompareTo(right) > 0;

    public static bool operator <=(MediaTime left, MediaTime right) => left.CompareTo(right) <= 0;

    public static bool operator >=(MediaTime left, MediaTime right) => left.CompareTo(right) >= 0;

    public int CompareTo(MediaTime other) =>
        ((Int128)Numerator * other.Denominator).CompareTo((Int128)other.Numerator * Denominator);

    public bool Equals(MediaTime other) => Numerator == other.Numerator && Denominator == other.Denominator;

    public override bool Equals(object? obj) => obj is MediaTime other && Equals(other);

    public override int GetHashCode() => HashCode.Combine(Numerator, Denominator);

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{ToSeconds():0.######} s");

    private (Int128 Floor, Int128 Remainder, Int128 Divisor) Units(Rate rate)
    {
        Int128 n = (Int128)Numerator * rate.Numerator;
        Int128 d = (Int128)Denominator * rate.Denominator;
        (Int128 quotient, Int128 remainder) = Int128.DivRem(n, d);
        return remainder < 0 ? (quotient - 1, remainder + d, d) : (quotient, remainder, d);
    }

    private static MediaTime Reduce(Int128 numerator, Int128 denominator)
    {
        Int128 a = Int128.Abs(numerator), b = denominator;
        while (b != 0)
        {
            (a, b) = (b, a % b);
        }

        return new MediaTime(checked((long)(numerator / a)), checked((long)(denominator / a)));
    }
}
