namespace SyncBench.Signal.Transform;

/// <summary>Roots of unity, rounded once from double.</summary>
internal static class UnitRoot
{
    /// <summary>e^(−2πi·index/order).</summary>
    public static (float Re, float Im) At(long index, long order)
    {
        (double sin, double cos) = Math.SinCos(-2 * Math.PI * (index % order) / order);
        return ((float)cos, (float)sin);
    }
}
