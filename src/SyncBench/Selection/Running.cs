using System.Numerics.Tensors;

namespace SyncBench.Selection;

/// <summary>Windows that run along a line of values; at its ends they are cut short.</summary>
internal static class Running
{
    /// <summary>Mean of each value and so many to either side.</summary>
    public static float[] Mean(float[] values, int halfWidth)
    {
        var means = new float[values.Length];
        double sum = 0;
        for (int i = -halfWidth; i < values.Length; i++)
        {
            sum += i + halfWidth < values.Length ? values[i + halfWidth] : 0;
            sum -= i - halfWidth - 1 >= 0 ? values[i - halfWidth - 1] : 0;
            if (i >= 0)
            {
                int count = Math.Min(values.Length - 1, i + halfWidth) - Math.Max(0, i - halfWidth) + 1;
                means[i] = (float)(sum / count);
            }
        }

        return means;
    }

    /// <summary>Lowest of the window that begins at each value.</summary>
    public static float[] LowestFrom(float[] values, int window)
    {
        var lowest = new float[values.Length];
        for (int i = 0; i < values.Length; i++)
        {
            lowest[i] = TensorPrimitives.Min(values.AsSpan(i, Math.Min(window, values.Length - i)));
        }

        return lowest;
    }
}
