namespace SyncBench.Alignment;

/// <summary>
/// How far a query lies from a reference, as a line over the query's own time t: reference time = t + At(t).
/// </summary>
/// <param name="MiddleSeconds">Query time at which <paramref name="LagSeconds"/> holds.</param>
/// <param name="Ppm">Growth of the lag in parts per million.</param>
internal readonly record struct LagLine(double MiddleSeconds, double LagSeconds, double Ppm)
{
    internal double At(double querySeconds) => LagSeconds + ((querySeconds - MiddleSeconds) * Ppm * 1e-6);
}
