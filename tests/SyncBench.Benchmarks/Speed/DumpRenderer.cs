using System.Globalization;
using System.Runtime.InteropServices;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Speed;

/// <summary>
/// Renders a plan into real containers, half a minute at a time: hours of talk in the memory of minutes. Rooms, clocks
/// and mics are those of the scenes; each mic's noise is a minute of its own that goes round.
/// </summary>
internal sealed class DumpRenderer(DumpPlan plan, string folder)
{
    private const int ChunkSamples = 30 * Air.SampleRateHz;

    /// <summary>On both sides of a chunk, for the clocks' interpolation.</summary>
    private const int Margin = 256;

    private readonly ShoeboxRoom _room = new(PairScene.RoomSize, DumpPlan.Rt60);

    internal async Task RenderAsync()
    {
        IReadOnlyList<Spoken> talk = await LongTalk.OfAsync(plan.Seconds, plan.Seed);
        string picture = Path.Combine(folder, "picture.mp4");
        await ExternalTool.RunAsync(
            "ffmpeg",
            ["-v", "error", "-y", "-f", "lavfi", "-i", "color=black:s=160x90:r=25:d=60", "-c:v", "libx264", "-preset", "ultrafast", picture],
            feed: null, CancellationToken.None);
        var feeds = plan.Devices.Select(_ => new TaskCompletionSource<Stream>()).ToArray();
        var written = new TaskCompletionSource();
        Task<byte[]>[] writers =
        [
            .. plan.Devices.Select((device, i) => ExternalTool.RunAsync(
                "ffmpeg", Encoder(device, picture),
                async pipe =>
                {
                    feeds[i].SetResult(pipe);
                    await written.Task;
                },
                CancellationToken.None)),
        ];
        try
        {
            await RecordAsync(talk, [.. await Task.WhenAll(feeds.Select(feed => feed.Task))]);
        }
        finally
        {
            written.SetResult();
        }

        await Task.WhenAll(writers);
        File.Delete(picture);
    }

    private string[] Encoder(DevicePlan device, string picture)
    {
        string path = Path.Combine(folder, device.File);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        string[] sound = ["-f", "f32le", "-ar", "48000", "-ac", $"{device.Mics.Count}", "-i", "pipe:0"];
        string seconds = plan.Seconds.ToString(CultureInfo.InvariantCulture);
        return path.EndsWith(".WAV", StringComparison.Ordinal)
            ? ["-v", "error", "-y", .. sound, "-c:a", "pcm_s24le", "-rf64", "auto", path]
            :
            [
                "-v", "error", "-y", "-t", seconds, "-stream_loop", "-1", "-i", picture, .. sound, "-map", "0:v", "-map", "1:a",
                "-c:v", "copy", "-c:a", "aac", "-b:a", "128k", path,
            ];
    }

    private async Task RecordAsync(IReadOnlyList<Spoken> talk, Stream[] pipes)
    {
        (int Device, int Channel)[] mics =
            [.. plan.Devices.SelectMany((device, d) => device.Mics.Select((_, channel) => (d, channel)))];
        float[][] noise = [.. mics.Select(mic => NoiseOf(mic.Device, mic.Channel))];
        long[] recorded = new long[plan.Devices.Count];
        long end = (long)((plan.Seconds + 4) * Air.SampleRateHz);
        Task sending = Task.CompletedTask;
        for (long at = 0; at < end; at += ChunkSamples)
        {
            Spoken[] near = [.. talk.Where(s => s.Start < at + ChunkSamples + Margin && s.End > at - Margin - (2 * Air.SampleRateHz))];
            float[][] samples = [.. near.AsParallel().AsOrdered().Select(spoken => spoken.Samples())];
            int[] counts = [.. plan.Devices.Select((device, d) => Count(device, recorded[d], at + ChunkSamples))];
            var sound = new float[mics.Length][];
            Parallel.For(0, mics.Length, m =>
            {
                DevicePlan device = plan.Devices[mics[m].Device];
                float[] air = Hear(near, samples, device.Mics[mics[m].Channel], at - Margin);
                double first = device.StartSeconds
                    + (recorded[mics[m].Device] * Clock(device).TrueSeconds / Air.SampleRateHz)
                    - ((double)(at - Margin) / Air.SampleRateHz);
                sound[m] = Clock(device).Record(air, first, counts[mics[m].Device]);
                Finish(sound[m], device, noise[m], recorded[mics[m].Device]);
            });
            await sending;
            sending = SendAsync(pipes, mics, sound, counts);
            for (int d = 0; d < counts.Length; d++)
            {
                recorded[d] += counts[d];
            }
        }

        await sending;
    }

    private static DeviceClock Clock(DevicePlan device) => new(device.Ppm);

    /// <summary>Samples that the device takes before an instant, beyond those it has.</summary>
    private int Count(DevicePlan device, long recorded, long before)
    {
        double seconds = (((double)before / Air.SampleRateHz) - device.StartSeconds) / Clock(device).TrueSeconds;
        return (int)Math.Max(0, (long)(Math.Min(seconds, plan.Seconds) * Air.SampleRateHz) - recorded);
    }

    private float[] Hear(Spoken[] near, float[][] samples, Point mic, long from)
    {
        var air = new float[ChunkSamples + (2 * Margin)];
        for (int i = 0; i < near.Length; i++)
        {
            Point mouth = near[i].IsSubject ? PairScene.Subject : PairScene.Interviewer;
            _room.Path(mouth, mic, PickupPattern.AllRound).AddTo(air, near[i].Start - from, samples[i]);
        }

        return air;
    }

    private float[] NoiseOf(int device, int channel)
    {
        var random = new SeededRandom(plan.Seed, $"noise of {device}.{channel}");
        float[] noise = Noise.Pink((int)(random.Between(50, 65) * Air.SampleRateHz), random);
        double rms = Math.Sqrt(noise.Sum(sample => (double)sample * sample) / noise.Length);
        float gain = (float)(Math.Pow(10, plan.Devices[device].NoiseDb / 20) / rms);
        return Array.ConvertAll(noise, sample => sample * gain);
    }

    private static void Finish(float[] sound, DevicePlan device, float[] noise, long recorded)
    {
        int at = (int)(recorded % noise.Length);
        for (int i = 0; i < sound.Length; i++)
        {
            sound[i] = (sound[i] * device.Gain) + noise[at];
            at = at + 1 == noise.Length ? 0 : at + 1;
        }
    }

    private async Task SendAsync(Stream[] pipes, (int Device, int Channel)[] mics, float[][] sound, int[] counts)
    {
        for (int d = 0; d < pipes.Length; d++)
        {
            int channels = plan.Devices[d].Mics.Count;
            var interleaved = new float[counts[d] * channels];
            for (int m = 0; m < mics.Length; m++)
            {
                for (int i = 0; mics[m].Device == d && i < counts[d]; i++)
                {
                    interleaved[(i * channels) + mics[m].Channel] = sound[m][i];
                }
            }

            await pipes[d].WriteAsync(MemoryMarshal.AsBytes(interleaved.AsSpan()).ToArray());
        }
    }
}
