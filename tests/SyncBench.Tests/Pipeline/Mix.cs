namespace SyncBench.Tests.Pipeline;

/// <summary>Sounds made louder and laid over one another.</summary>
internal static class Mix
{
    internal static float[] Times(float[] sound, float gain) => Array.ConvertAll(sound, sample => gain * sample);

    /// <param name="other">As long as the sound, or longer.</param>
    internal static float[] Sum(float[] sound, ReadOnlySpan<float> other, float gain)
    {
        float[] sum = [.. sound];
        for (int n = 0; n < sum.Length; n++)
        {
            sum[n] += gain * other[n];
        }

        return sum;
    }
}
