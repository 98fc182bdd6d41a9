using System.Runtime.InteropServices;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>One channel of sound as raw 16-bit numbers, as a recorder would keep it.</summary>
internal static class SampleFile
{
    internal static void Write(string path, ReadOnlySpan<float> samples)
    {
        var whole = new short[samples.Length];
        for (int i = 0; i < whole.Length; i++)
        {
            whole[i] = (short)Math.Clamp(MathF.Round(samples[i] * 32768), short.MinValue, short.MaxValue);
        }

        File.WriteAllBytes(path, MemoryMarshal.AsBytes(whole.AsSpan()));
    }

    internal static float[] Read(string path) =>
        Array.ConvertAll(MemoryMarshal.Cast<byte, short>(File.ReadAllBytes(path)).ToArray(), whole => whole / 32768f);
}
