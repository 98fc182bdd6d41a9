using System.Numerics;

namespace SyncBench.Signal;

/// <summary>
/// Order statistics in time proportional to the count. They reorder the span that they are given. NaN has no order:
/// keep it out.
/// </summary>
public static class Statistics
{
    /// <summary>1/Φ⁻¹(¾): a normal distribution's standard deviation over its median absolute deviation.</summary>
    public const double NormalPerMad = 1.4826022185056018;

    /// <summary>The middle value, or the mean of the two.</summary>
    /// <param name="scratch">At least one value; reordered.</param>
    public static float Median(Span<float> scratch) => Quantile(scratch, 0.5);

    /// <inheritdoc cref="Median(Span{float})"/>
    public static double Median(Span<double> scratch) => Quantile(scratch, 0.5);

    /// <summary>
    /// The median, and the standard deviation of a normal distribution with the same median absolute deviation from it.
    /// </summary>
    /// <param name="scratch">At least one value; overwritten by the deviations.</param>
    public static (T Median, T Spread) MedianAndSpread<T>(Span<T> scratch)
        where T : IBinaryFloatingPointIeee754<T>
    {
        T median = Quantile(scratch, 0.5);
        foreach (ref T value in scratch)
        {
            value = T.Abs(value - median);
        }

        return (median, T.CreateChecked(NormalPerMad) * Quantile(scratch, 0.5));
    }

    /// <summary>
    /// The value below which a share <paramref name="probability"/> lies, linear between neighbours: number 7 of
    /// Hyndman and Fan, Sample quantiles in statistical packages, The American Statistician 50, 1996.
    /// </summary>
    /// <param name="scratch">At least one value; reordered.</param>
    /// <param name="probability">0 (the least) to 1 (the greatest).</param>
    /// <exception cref="ArgumentOutOfRangeException">No values, or not a probability.</exception>
    public static T Quantile<T>(Span<T> scratch, double probability)
        where T : IBinaryFloatingPointIeee754<T>
    {
        ArgumentOutOfRangeException.ThrowIfZero(scratch.Length, nameof(scratch));
        ArgumentOutOfRangeException.ThrowIfNegative(probability);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(probability, 1);
        double position = probability * (scratch.Length - 1);
        int below = (int)position;
        T low = Select(scratch, below);
        double share = position - below;
        if (share == 0)
        {
            return low;
        }

        T high = scratch[below + 1];
        foreach (T value in scratch[(below + 2)..])
        {
            high = T.Min(high, value);
        }

        return low + (T.CreateChecked(share) * (high - low));
    }

    /// <summary>
    /// The value that sorting would put at <paramref name="index"/>, with nothing greater before it and nothing less
    /// behind it (Hoare, Algorithm 65: Find, Comm. ACM 4, 1961). Sorts what is left if the pivots fall badly.
    /// </summary>
    private static T Select<T>(Span<T> values, int index)
        where T : IBinaryFloatingPointIeee754<T>
    {
        int low = 0, high = values.Length - 1;
        for (int depth = 2 * BitOperations.Log2((uint)values.Length); low < high; depth--)
        {
            if (depth < 0)
            {
                values[low..(high + 1)].Sort();
                break;
            }

            T pivot = MedianOfThree(values[low], values[low + ((high - low) / 2)], values[high]);
            int left = low, right = high;
            while (left <= right)
            {
                while (values[left] < pivot)
                {
                    left++;
                }

                while (values[right] > pivot)
                {
                    right--;
                }

                if (left <= right)
                {
                    (values[left], values[right]) = (values[right], values[left]);
                    left++;
                    right--;
                }
            }

            if (index <= right)
            {
                high = right;
            }
            else if (index >= left)
            {
                low = left;
            }
            else
            {
                break;
            }
        }

        return values[index];
    }

    private static T MedianOfThree<T>(T a, T b, T c)
        where T : IBinaryFloatingPointIeee754<T> =>
        T.Max(T.Min(a, b), T.Min(T.Max(a, b), c));
}
