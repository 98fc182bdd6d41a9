using System.Buffers.Binary;
using System.Globalization;
using System.Text;

namespace SyncBench.Scenes;

/// <summary>Writes 24-bit PCM with the broadcast extension, apart from the product's own writer.</summary>
/// <remarks>
/// EBU Tech 3285 v2 (field order and widths from memory, read back by ffprobe in the tests): description 256,
/// originator 32, reference 32, date 10, time 8, TimeReference 64 bit, version 16 bit, UMID 64, loudness 5 × 16 bit,
/// reserved 180.
/// </remarks>
public static class BroadcastWave
{
    private const int ExtensionBytes = 602;

    /// <param name="channels">One array for each channel, all of one length, full scale ±1.</param>
    /// <param name="started">When sample 0 was recorded, by the device's own time of day.</param>
    public static async Task WriteAsync(
        string path, IReadOnlyList<float[]> channels, int sampleRateHz, string originator, string description,
        DateTime started, CancellationToken cancel)
    {
        int frameBytes = channels.Count * 3;
        int dataBytes = channels[0].Length * frameBytes;
        byte[] head = Head(channels.Count, sampleRateHz, dataBytes, originator, description, started);
        await using FileStream file = File.Create(path);
        await file.WriteAsync(head, cancel);
        var data = new byte[dataBytes + (dataBytes % 2)];
        for (int frame = 0, at = 0; frame < channels[0].Length; frame++)
        {
            foreach (float[] channel in channels)
            {
                int value = (int)Math.Clamp(Math.Round(channel[frame] * 8_388_608.0), -8_388_608, 8_388_607);
                data[at++] = (byte)value;
                data[at++] = (byte)(value >> 8);
                data[at++] = (byte)(value >> 16);
            }
        }

        await file.WriteAsync(data, cancel);
    }

    private static byte[] Head(
        int channels, int sampleRateHz, int dataBytes, string originator, string description, DateTime started)
    {
        var head = new byte[12 + 8 + ExtensionBytes + 8 + 16 + 8];
        Span<byte> left = head;
        Text(ref left, "RIFF", 4);
        Number(ref left, head.Length - 8 + dataBytes + (dataBytes % 2), 4);
        Text(ref left, "WAVEbext", 8);
        Number(ref left, ExtensionBytes, 4);
        Text(ref left, description, 256);
        Text(ref left, originator, 32);
        Text(ref left, "", 32);
        Text(ref left, started.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), 10);
        Text(ref left, started.ToString("HH:mm:ss", CultureInfo.InvariantCulture), 8);
        Number(ref left, (long)Math.Round(started.TimeOfDay.TotalSeconds * sampleRateHz), 8);
        Number(ref left, 1, 2); // version 1: a UMID, here zero, and no loudness values
        left = left[(64 + 10 + 180)..];
        Text(ref left, "fmt ", 4);
        Number(ref left, 16, 4);
        Number(ref left, 1, 2); // PCM
        Number(ref left, channels, 2);
        Number(ref left, sampleRateHz, 4);
        Number(ref left, (long)sampleRateHz * channels * 3, 4);
        Number(ref left, channels * 3, 2);
        Number(ref left, 24, 2);
        Text(ref left, "data", 4);
        Number(ref left, dataBytes, 4);
        return head;
    }

    private static void Text(ref Span<byte> left, string text, int width)
    {
        Encoding.ASCII.GetBytes(text, left[..width]);
        left = left[width..];
    }

    private static void Number(ref Span<byte> left, long value, int bytes)
    {
        Span<byte> whole = stackalloc byte[8];
        BinaryPrimitives.WriteInt64LittleEndian(whole, value);
        whole[..bytes].CopyTo(left);
        left = left[bytes..];
    }
}
