using System.Diagnostics;
using System.Globalization;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;
using SyncBench.Signal;

namespace SyncBench.Benchmarks;

/// <summary>What measuring loudness costs on a spoken text, as part of the streaming pass.</summary>
internal static class LoudnessBench
{
    private const int Rounds = 25;
    private const int BlockSamples = 1 << 14;

    internal static async Task<int> RunAsync()
    {
        float[] speech = await SpeechAsync();
        Console.WriteLine("Loudness, true peak and active speech level on one thread, ns for each sample of each channel");
        foreach (int channels in (int[])[1, 2])
        {
            // Each block's best of many rounds: on a machine with other work, a whole round is never undisturbed.
            var best = new double[speech.Length / BlockSamples];
            Array.Fill(best, double.MaxValue);
            for (int round = 0; round < Rounds; round++)
            {
                Measure(speech, channels, best);
            }

            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture, $"{channels} of 48 kHz: {best.Average() / BlockSamples / channels:0.00}"));
        }

        return 0;
    }

    private static async Task<float[]> SpeechAsync()
    {
        Rehearsal rehearsal = await Rehearsal.OfAsync([.. Interview.Lines.Take(6)], 1, 0, 5);
        var speech = new float[rehearsal.Sentences.Max(sentence => sentence.End)];
        foreach (SpokenSentence sentence in rehearsal.Sentences)
        {
            sentence.Samples.CopyTo(speech, sentence.Start);
        }

        return speech;
    }

    private static void Measure(float[] speech, int channels, double[] best)
    {
        float[][] full = [.. Enumerable.Range(0, channels).Select(_ => new float[BlockSamples])];
        var resampler = new RationalResampler(48_000, SoundBlock.AnalysisRate.Numerator);
        float[][] analysis = [.. Enumerable.Range(0, channels).Select(_ => new float[resampler.MaxOutput(BlockSamples)])];
        var meter = new ClipLoudness(channels);
        for (int i = 0; i < best.Length; i++)
        {
            ReadOnlySpan<float> samples = speech.AsSpan(i * BlockSamples, BlockSamples);
            int length = resampler.Process(samples, analysis[0]);
            for (int channel = 0; channel < channels; channel++)
            {
                samples.CopyTo(full[channel]);
                analysis[0].CopyTo(analysis[channel].AsSpan());
            }

            var block = new SoundBlock(48_000, full, BlockSamples, analysis, length);
            long start = Stopwatch.GetTimestamp();
            meter.Hear(block);
            best[i] = Math.Min(best[i], Stopwatch.GetElapsedTime(start).TotalNanoseconds);
        }
    }
}
