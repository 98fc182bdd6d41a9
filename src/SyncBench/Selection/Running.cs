using System.Numerics.Tensors;

namespace SyncBench.Selection;

/// <summary>Windows that run along a line of values; at its ends they are cut short.</summary>
internal static class Running
{
    /// <summary>Mean of each value and so many to either side.</summary>
    /// <param name="of">The value of a step; asked once, in order.</param>
    public static float[] Mean(int count, Func<int, float> of, int halfWidth)
    {
        var means = new float[count];
        Mean(means, of, halfWidth);
        return means;
    }

    /// <summary>The same, put in the place of other values: band by band, hours of a mic leave too many lines of megabytes behind.</summary>
    public static void Mean(Span<float> means, Func<int, float> of, int halfWidth)
    {
        var window = new float[(2 * halfWidth) + 1];
        double sum = 0;
        for (int i = -halfWidth; i < means.Length; i++)
        {
            int ahead = i + halfWidth;
            ref float last = ref window[ahead % window.Length];
            float next = ahead < means.Length ? of(ahead) : 0;
            sum += next;
            sum -= last;
            last = next;
            if (i >= 0)
            {
                means[i] = (float)(sum / (Math.Min(means.Length - 1, ahead) - Math.Max(0, i - halfWidth) + 1));
            }
        }
    }

    /// <summary>Puts in the place of each value the lowest of the window that begins there.</summary>
    public static void LowestFrom(float[] values, int window)
    {
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = TensorPrimitives.Min(values.AsSpan(i, Math.Min(window, values.Length - i)));
        }
    }
}
