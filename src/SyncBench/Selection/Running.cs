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
        var window = new float[(2 * halfWidth) + 1];
        double sum = 0;
        for (int i = -halfWidth; i < count; i++)
        {
            int ahead = i + halfWidth;
            ref float last = ref window[ahead % window.Length];
            float next = ahead < count ? of(ahead) : 0;
            sum += next;
            sum -= last;
            last = next;
            if (i >= 0)
            {
                means[i] = (float)(sum / (Math.Min(count - 1, ahead) - Math.Max(0, i - halfWidth) + 1));
            }
        }

        return means;
    }

    /// <summary>Puts in the place of each value the lowest of the window that begins there.</summary>
    public static float[] LowestFrom(float[] values, int window)
    {
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = TensorPrimitives.Min(values.AsSpan(i, Math.Min(window, values.Length - i)));
        }

        return values;
    }
}
