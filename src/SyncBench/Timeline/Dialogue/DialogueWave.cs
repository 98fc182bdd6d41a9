using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>Writes a stretch of a rendered dialogue as a broadcast wave file: mono, 48 kHz, 24 bit.</summary>
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
        var samples = new float[Block];
        var bytes = new byte[Block * BroadcastWaveHeader.BytesPerSample];
        float scale = (float)gain * FullScale;
        for (long done = 0; done < count; done += Block)
        {
            int taken = (int)Math.Min(Block, count - done);
            track.Read(first + done, samples.AsSpan(0, taken));
            for (int n = 0; n < taken; n++)
            {
                int value = (int)Math.Clamp(MathF.Round(samples[n] * scale), -FullScale, FullScale - 1);
                bytes[3 * n] = (byte)value;
                bytes[(3 * n) + 1] = (byte)(value >> 8);
                bytes[(3 * n) + 2] = (byte)(value >> 16);
            }

            output.Write(bytes.AsSpan(0, taken * BroadcastWaveHeader.BytesPerSample));
        }

        if (count * BroadcastWaveHeader.BytesPerSample % 2 == 1)
        {
            output.WriteByte(0); // chunks are of even length
        }
    }
}
