using System.Runtime.InteropServices;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks;

/// <summary>
/// A sentence of a human voice: the prompts of a telephone exchange, wide band (G.722, 16 kHz, 8,000 bytes a second), in
/// Debian's packages asterisk-core-sounds-* (Creative Commons licences). scripts/bench installs them; nothing of them is
/// kept in the repository.
/// </summary>
internal static class RecordedPrompt
{
    internal const int BytesASecond = 8_000;

    private const string FolderVariable = "SYNCBENCH_PROMPTS";

    private const float Heard = 0.01f;

    /// <summary>Of the English voice; the others are its neighbours.</summary>
    /// <exception cref="InvalidOperationException">scripts/bench has not told it.</exception>
    internal static string Folder => Environment.GetEnvironmentVariable(FolderVariable)
        ?? throw new InvalidOperationException($"{FolderVariable} names no folder of prompts: run the bench by scripts/bench.");

    /// <returns>At <see cref="Air.SampleRateHz"/>, root mean square 0.1, silent ends cut off.</returns>
    /// <exception cref="InvalidDataException">There is less than a quarter of a second of speech in it.</exception>
    internal static async Task<float[]> ReadAsync(string file)
    {
        byte[] decoded = await ExternalTool.RunAsync(
            "ffmpeg", ["-v", "error", "-f", "g722", "-i", file, "-ar", $"{Air.SampleRateHz}", "-f", "f32le", "pipe:1"],
            feed: null, CancellationToken.None);
        float[] samples = MemoryMarshal.Cast<byte, float>(decoded).ToArray();
        int first = Array.FindIndex(samples, sample => Math.Abs(sample) > Heard);
        float[] said = first < 0 ? [] : samples[first..(Array.FindLastIndex(samples, sample => Math.Abs(sample) > Heard) + 1)];
        if (said.Length < Air.SampleRateHz / 4)
        {
            throw new InvalidDataException($"{file} holds no speech.");
        }

        float gain = (float)(0.1 / Math.Sqrt(said.Average(sample => (double)sample * sample)));
        return Array.ConvertAll(said, sample => sample * gain);
    }
}
