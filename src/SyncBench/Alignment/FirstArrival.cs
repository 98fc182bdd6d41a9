using System.Numerics.Tensors;
using SyncBench.Signal;

namespace SyncBench.Alignment;

/// <summary>On which side of a pair's direct path its reflections lie.</summary>
internal enum Reflections
{
    /// <summary>Both mics are as far from the talker.</summary>
    OnBothSides,

    /// <summary>The query's mic is the far one: what it hears late lies at smaller lags.</summary>
    AtSmallerLags,

    /// <summary>The reference's mic is the far one.</summary>
    AtLargerLags,
}

/// <summary>
/// Finds the direct path in a mean correlation. Beyond about a metre from the talker a reflection from floor or ceiling
/// can be the highest peak, but it is never the first.
/// </summary>
internal static class FirstArrival
{
    /// <summary>
    /// An earlier peak of at least this height is the direct path. Measured: 0.6 lifts the success of stacked
    /// correlations at −15 dB from 68 to 96 of 100 (docs/alignment.md).
    /// </summary>
    private const float ShareOfHighest = 0.6f;

    private const float LeastQuality = 6;

    /// <summary>20 ms, 7 m: a reflection from the far wall of a room for talking. Half of it where the other talker cannot be told apart.</summary>
    private const int LongestDetourSamples = 320;

    /// <summary>
    /// Where the windows of the other talker are known, an earlier peak that is not his may be so much lower: in a room of 0.8 s,
    /// 4 m from the talker, the direct path reaches 0.55 of the highest peak (scripts/bench accuracy --only far).
    /// </summary>
    private const float ShareOfHighestApart = 0.45f;

    private const float LeastQualityApart = 5;

    /// <summary>By so many spreads a path stands out among the other talker's windows from what is left of the subject in them.</summary>
    private const float OthersQuality = 4;

    /// <param name="mean">Mean correlation around the line while the subject speaks, one value a sample at the analysis rate.</param>
    /// <param name="others">The same while the subject does not speak; null where that is never. What is higher in it is another talker's path.</param>
    /// <returns>Index between samples, or null where no peak stands out of the noise.</returns>
    internal static double? Locate(float[] mean, float[]? others, Reflections reflections)
    {
        int highest = TensorPrimitives.IndexOfMax<float>(mean);
        (float middle, float spread) = Noise(mean);
        if (mean[highest] - middle < LeastQuality * spread || highest == 0 || highest == mean.Length - 1)
        {
            return null;
        }

        return PeakInterpolation.Locate(mean, others is null
            ? FirstStrongPeak(mean, middle, spread, highest, reflections, LongestDetourSamples / 2)
            : FirstApart(mean, middle, spread, others, highest, reflections));
    }

    private static int FirstApart(
        float[] mean, float middle, float spread, float[] others, int highest, Reflections reflections)
    {
        float threshold = middle + Math.Max(ShareOfHighestApart * (mean[highest] - middle), LeastQualityApart * spread);
        (float othersMiddle, float othersSpread) = Noise(others);
        float stillSubject = Math.Max(0, (others[highest] - othersMiddle) / (mean[highest] - middle));
        bool IsSubjects(int at)
        {
            float height = mean[at] - middle, othersHeight = TensorPrimitives.Max<float>(others.AsSpan(at - 1, 3)) - othersMiddle;
            return othersHeight < height && othersHeight < (stillSubject * height) + (OthersQuality * othersSpread);
        }

        return First(mean, highest, threshold, reflections, LongestDetourSamples, IsSubjects);
    }

    /// <summary>The earliest peak, at most so many places before the highest, that is nearly as high; else the highest.</summary>
    internal static int FirstStrongPeak(float[] mean, int highest, Reflections reflections, int longestDetour)
    {
        (float middle, float spread) = Noise(mean);
        return FirstStrongPeak(mean, middle, spread, highest, reflections, longestDetour);
    }

    private static int FirstStrongPeak(
        float[] mean, float middle, float spread, int highest, Reflections reflections, int longestDetour)
    {
        float threshold = middle + Math.Max(ShareOfHighest * (mean[highest] - middle), LeastQuality * spread);
        return First(mean, highest, threshold, reflections, longestDetour, _ => true);
    }

    private static int First(
        float[] mean, int highest, float threshold, Reflections reflections, int longestDetour, Func<int, bool> counts)
    {
        int towardFirst = reflections switch
        {
            Reflections.AtSmallerLags => 1,
            Reflections.AtLargerLags => -1,
            _ => 0,
        };
        int first = highest;
        for (int step = 1; towardFirst != 0 && step <= longestDetour; step++)
        {
            int at = highest + (step * towardFirst);
            if (at < 1 || at > mean.Length - 2)
            {
                break;
            }

            bool isTop = mean[at] >= mean[at - 1] && mean[at] >= mean[at + 1];
            first = isTop && mean[at] >= threshold && counts(at) ? at : first;
        }

        return first;
    }

    private static (float Middle, float Spread) Noise(float[] mean) => Statistics.MedianAndSpread<float>([.. mean]);
}
