namespace SyncBench.Timeline.Dialogue;

/// <summary>From one mic to the next without a dip or a swell.</summary>
/// <remarks>
/// Two sounds of correlation r, at gains a and b, have the power a² + b² + 2rab. Dividing a straight fade by the root of
/// that keeps the power even: for r = 0 it is an equal-power crossfade, for r = 1 an equal-gain one, and between them
/// what lies between. A negative correlation is taken as none: it would ask for more than either sound has.
/// </remarks>
internal static class Crossfade
{
    /// <summary>Of two sounds of one length, −1 to 1; 0 where one is silent.</summary>
    internal static double Correlation(ReadOnlySpan<float> left, ReadOnlySpan<float> right)
    {
        double both = 0, ofLeft = 0, ofRight = 0;
        for (int n = 0; n < left.Length; n++)
        {
            both += (double)left[n] * right[n];
            ofLeft += (double)left[n] * left[n];
            ofRight += (double)right[n] * right[n];
        }

        double product = Math.Sqrt(ofLeft * ofRight);
        return product > 0 ? both / product : 0;
    }

    /// <param name="share">How far the fade has come, 0 to 1.</param>
    internal static (double Left, double Right) Gains(double share, double correlation)
    {
        double left = 1 - share, right = share, r = Math.Clamp(correlation, 0, 1);
        double root = Math.Sqrt((left * left) + (right * right) + (2 * r * left * right));
        return (left / root, right / root);
    }

    internal static float[] Mix(ReadOnlySpan<float> left, ReadOnlySpan<float> right, double correlation)
    {
        var mixed = new float[left.Length];
        for (int n = 0; n < mixed.Length; n++)
        {
            (double a, double b) = Gains((n + 0.5) / mixed.Length, correlation);
            mixed[n] = (float)((a * left[n]) + (b * right[n]));
        }

        return mixed;
    }
}
