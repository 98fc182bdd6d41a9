using System.IO.Compression;
using System.Text.Json;
using NAudio.Wave;

namespace SyncBench.Tests.Support;

/// <summary>Linear timecode made by libltc (fixtures/ltc/make.py).</summary>
/// <param name="Labels">In the order in which they are heard.</param>
/// <param name="StartSamples">Where libltc's own decoder hears each word begin; null where it hears none.</param>
internal sealed record LtcFixture(
    int SampleRateHz, double SamplesPerWord, bool DropFrame, uint UserBits, string[] Labels, int?[] StartSamples,
    float[] Samples)
{
    internal static LtcFixture Read(string name)
    {
        using var document = JsonDocument.Parse(File.ReadAllText(Repository.File("fixtures/ltc/labels.json")));
        JsonElement all = document.RootElement.GetProperty(name);
        JsonElement[] words = [.. all.GetProperty("words").EnumerateArray()];
        using var whole = new MemoryStream();
        using (var packed = new GZipStream(File.OpenRead(Repository.File($"fixtures/ltc/{name}.wav.gz")), CompressionMode.Decompress))
        {
            packed.CopyTo(whole);
        }

        whole.Position = 0;
        using var wave = new WaveFileReader(whole);
        float[] samples = new float[wave.SampleCount];
        Assert.Equal(samples.Length, wave.ToSampleProvider().Read(samples));
        return new LtcFixture(
            all.GetProperty("rate").GetInt32(), all.GetProperty("samples_per_word").GetDouble(),
            all.GetProperty("drop").GetBoolean(), all.GetProperty("user_bits").GetUInt32(),
            [.. words.Select(word => word.GetProperty("label").GetString()!)],
            [.. words.Select(word => word.GetProperty("decoded_start")).Select(at => at.ValueKind == JsonValueKind.Null ? (int?)null : at.GetInt32())],
            samples);
    }
}
