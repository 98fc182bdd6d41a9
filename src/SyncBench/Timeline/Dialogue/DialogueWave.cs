using System.Numerics.Tensors;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>Writes a stretch of a rendered dialogue as a broadcast wave file: 48 kHz, 24 bit.</summary>
/// <remarks>
/// No dither: rounding to 24 bit lies at −146 dB relative to full scale, under the noise of any microphone, which is
/// dither enough.
/// </remarks>
internal static class DialogueWave
{
    private const int Block = 1 << 15;
    private const float FullScale = 1 << 23;

    /// <param name="gain">Applied to every sample; nothing may pass full scale after it.</param>
    internal static void Write(
        Stream output, BroadcastExtension extension, DialogueTrack track, long first, long count, double gain)
    {
        output.Write(BroadcastWaveHeader.Of(extension.ToBytes(), count, Rate.Hz48000.Numerator));
        Samples(output, [track], first, count, gain);
    }

    /// <summary>One channel for each track, all of one length, as they are.</summary>
    /// <param name="notes">Content of the iXML chunk.</param>
    internal static void Write(Stream output, BroadcastExtension extension, byte[] notes, DialogueTrack[] tracks)
    {
        output.Write(BroadcastWaveHeader.Of(
            extension.ToBytes(), tracks[0].Samples, Rate.Hz48000.Numerator, tracks.Length, notes));
        Samples(output, tracks, 0, tracks[0].Samples, 1);
    }

    private static void Samples(Stream output, DialogueTrack[] tracks, long first, long count, double gain)
    {
        int frameBytes = tracks.Length * BroadcastWaveHeader.BytesPerSample;
        var samples = new float[Block];
        var values = new int[Block];
        var bytes = new byte[Block * frameBytes];
        float scale = (float)gain * FullScale;
        for (long done = 0; done < count; done += Block)
        {
            int taken = (int)Math.Min(Block, count - done);
            Span<float> some = samples.AsSpan(0, taken);
            for (int channel = 0; channel < tracks.Length; channel++)
            {
                tracks[channel].Read(first + done, some);
                TensorPrimitives.Multiply(some, scale, some);
                TensorPrimitives.Round<float>(some, some);
                TensorPrimitives.Clamp(some, -FullScale, FullScale - 1, some);
                TensorPrimitives.ConvertTruncating<float, int>(some, values);
                int at = channel * BroadcastWaveHeader.BytesPerSample;
                for (int n = 0; n < taken; n++, at += frameBytes)
                {
                    bytes[at] = (byte)values[n];
                    bytes[at + 1] = (byte)(values[n] >> 8);
                    bytes[at + 2] = (byte)(values[n] >> 16);
                }
            }

            output.Write(bytes.AsSpan(0, taken * frameBytes));
        }

        if (count * frameBytes % 2 == 1)
        {
            output.WriteByte(0); // chunks are of even length
        }
    }
}
