using System.Collections.Immutable;

namespace SyncBench.Signal;

/// <summary>A line through points of which some may be wrong: y = Intercept + Slope·x.</summary>
/// <param name="Intercept">The line at x = 0, wherever the points lie.</param>
/// <param name="Scale">The standard deviation of a good point from the line, estimated from the middle half.</param>
/// <param name="InterceptError">One standard deviation of the line at x = 0; infinite for two points.</param>
/// <param name="SlopeError">One standard deviation; infinite for two points.</param>
/// <param name="Center">The mean of x, where the line is known best.</param>
/// <param name="CenterError">One standard deviation of the line at <paramref name="Center"/>.</param>
/// <param name="Weights">For each point 1 (on the line) down to 0 (taken to be wrong).</param>
public readonly record struct LineFit(
    double Intercept,
    double Slope,
    double Scale,
    double InterceptError,
    double SlopeError,
    double Center,
    double CenterError,
    ImmutableArray<double> Weights)
{
    /// <summary>The line at <paramref name="x"/>.</summary>
    public double At(double x) => Intercept + (Slope * x);

    /// <summary>One standard deviation of the line at <paramref name="x"/>.</summary>
    public double ErrorAt(double x) => double.Hypot(CenterError, SlopeError * (x - Center));
}
