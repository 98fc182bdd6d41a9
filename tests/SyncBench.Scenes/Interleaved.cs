using System.Runtime.InteropServices;

namespace SyncBench.Scenes;

/// <summary>Sound as encoders take it: a sample of each channel in turn, 32-bit floats.</summary>
public static class Interleaved
{
    /// <param name="channels">One array for each channel, all of one length.</param>
    public static async Task WriteAsync(Stream pipe, IReadOnlyList<float[]> channels, CancellationToken cancel)
    {
        const int Step = 65_536;
        for (int done = 0; done < channels[0].Length; done += Step)
        {
            int count = Math.Min(Step, channels[0].Length - done);
            var interleaved = new float[count * channels.Count];
            for (int i = 0; i < count; i++)
            {
                for (int channel = 0; channel < channels.Count; channel++)
                {
                    interleaved[(i * channels.Count) + channel] = channels[channel][done + i];
                }
            }

            await pipe.WriteAsync(MemoryMarshal.AsBytes(interleaved.AsSpan()).ToArray(), cancel);
        }
    }
}
