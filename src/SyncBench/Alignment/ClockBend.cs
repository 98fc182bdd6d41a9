using MathNet.Numerics.Statistics;

namespace SyncBench.Alignment;

/// <summary>
/// A clock that warms up bends against the straight line it is given. Least squares makes the mean error small; a cut is
/// judged by its worst moment, so the line is moved to the middle between the two worst.
/// </summary>
/// <remarks>The middle of the range is the offset of least largest error (Chebyshev's best constant).</remarks>
internal static class ClockBend
{
    /// <summary>A talker who leans about moves the lags of a minute together; in three minutes that evens out.</summary>
    private const double PartSeconds = 180;

    private const int FewestParts = 5, FewestLags = 8;

    /// <summary>Below this it may be the talker's way, and is of no weight to anyone.</summary>
    private const double LeastSeconds = 0.0002;

    /// <param name="offs">Seconds off the line, with the time on the clip's clock at which each was measured.</param>
    /// <returns>Seconds to take from what the line says; 0 where no bend shows.</returns>
    internal static double Middle(IEnumerable<(double ClipSeconds, double OffSeconds)> offs)
    {
        double[] parts = [.. offs.GroupBy(off => Math.Floor(off.ClipSeconds / PartSeconds))
            .Where(part => part.Count() >= FewestLags)
            .Select(part => part.Select(off => off.OffSeconds).Median())];
        return parts.Length >= FewestParts && parts.Max() - parts.Min() > LeastSeconds ? (parts.Max() + parts.Min()) / 2 : 0;
    }
}
