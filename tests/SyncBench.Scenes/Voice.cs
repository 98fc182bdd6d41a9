using System.Buffers.Binary;
using System.Collections.Concurrent;
using System.Globalization;

namespace SyncBench.Scenes;

/// <summary>A speaker made by the espeak-ng speech synthesiser.</summary>
/// <param name="Name">The speaker.</param>
/// <param name="Model">Language and variant for espeak-ng, such as "en-gb-x-rp+f2".</param>
/// <param name="WordsPerMinute">Speed.</param>
/// <param name="Pitch">0 to 99.</param>
public sealed record Voice(string Name, string Model, int WordsPerMinute, int Pitch)
{
    /// <summary>Ines Harrow, the ropemaker: the subject.</summary>
    public static Voice Ines { get; } = new("Ines Harrow", "en-gb+f2", 140, 42);

    /// <summary>Tom Brandt, who asks.</summary>
    public static Voice Tom { get; } = new("Tom Brandt", "en-gb-x-rp+m3", 158, 34);

    private static readonly ConcurrentDictionary<(Voice, string), Lazy<Task<float[]>>> Spoken = new();

    /// <summary>
    /// The words at <see cref="Air.SampleRateHz"/>, root mean square 0.1, without silence at the ends. The same array
    /// is given to all who ask for the same words: do not write to it.
    /// </summary>
    /// <exception cref="InvalidOperationException">espeak-ng is missing or failed.</exception>
    public Task<float[]> SayAsync(string words) =>
        Spoken.GetOrAdd((this, words), key => new Lazy<Task<float[]>>(() => key.Item1.SynthesizeAsync(key.Item2))).Value;

    private async Task<float[]> SynthesizeAsync(string words)
    {
        byte[] wave = await ExternalTool.RunAsync(
            "espeak-ng",
            ["--stdout", "-v", Model, "-s", WordsPerMinute.ToString(CultureInfo.InvariantCulture),
                "-p", Pitch.ToString(CultureInfo.InvariantCulture), "--", words],
            feed: null,
            CancellationToken.None);
        (int rate, float[] raw) = Read16BitMono(wave);
        float[] spoken = AtRateOfAir(Trim(raw), rate);
        double power = spoken.Sum(sample => (double)sample * sample) / spoken.Length;
        float gain = (float)(0.1 / Math.Sqrt(power));
        return Array.ConvertAll(spoken, sample => sample * gain);
    }

    private static (int RateHz, float[] Samples) Read16BitMono(ReadOnlySpan<byte> wave)
    {
        int rate = 0;
        for (int at = 12; at + 8 <= wave.Length;)
        {
            ReadOnlySpan<byte> chunk = wave.Slice(at, 4);
            uint size = BinaryPrimitives.ReadUInt32LittleEndian(wave[(at + 4)..]);
            if (chunk.SequenceEqual("fmt "u8))
            {
                rate = BinaryPrimitives.ReadInt32LittleEndian(wave[(at + 12)..]);
            }
            else if (chunk.SequenceEqual("data"u8))
            {
                // Written to a pipe, the size is not known when the header is: the data go to the end.
                ReadOnlySpan<byte> data = wave[(at + 8)..];
                var samples = new float[data.Length / 2];
                for (int i = 0; i < samples.Length; i++)
                {
                    samples[i] = BinaryPrimitives.ReadInt16LittleEndian(data[(2 * i)..]) / 32768f;
                }

                return (rate, samples);
            }

            at += 8 + (int)size;
        }

        throw new InvalidOperationException("espeak-ng gave no sound.");
    }

    private static float[] Trim(float[] samples)
    {
        const float Silence = 0.003f;
        int first = Array.FindIndex(samples, sample => Math.Abs(sample) > Silence);
        int last = Array.FindLastIndex(samples, sample => Math.Abs(sample) > Silence);
        return first < 0 ? throw new InvalidOperationException("espeak-ng gave silence.") : samples[first..(last + 1)];
    }

    private static float[] AtRateOfAir(float[] samples, int rate)
    {
        var sinc = new WindowedSinc();
        var result = new float[(int)((long)samples.Length * Air.SampleRateHz / rate)];
        for (int n = 0; n < result.Length; n++)
        {
            result[n] = sinc.At(samples, (double)n * rate / Air.SampleRateHz);
        }

        return result;
    }
}
