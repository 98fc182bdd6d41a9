using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Speed;

/// <summary>
/// One hour against one hour, both already decoded: our features, search and fine measure against one correlation at
/// the full rate by scipy, which is what a few lines of Python would do.
/// </summary>
internal static class CorrelationPeer
{
    private const int BlockSamples = 1 << 16;

    private const string Python = """
        import resource, sys, time
        import numpy, scipy.signal
        a, b = (numpy.fromfile(f, dtype=numpy.float32) for f in sys.argv[1:3])
        held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        began, used = time.perf_counter(), time.process_time()
        c = scipy.signal.correlate(a, b, method='fft')
        lag = int(numpy.argmax(numpy.abs(c))) - (len(b) - 1)
        print(time.perf_counter() - began, time.process_time() - used, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, held, lag)
        """;

    internal static async Task MeasureAsync(SpeedDump dump)
    {
        string[] files = [.. dump.Paths.Take(2)];
        string folder = Directory.CreateTempSubdirectory("syncbench-bench-").FullName;
        string[] raw = [Path.Combine(folder, "reference"), Path.Combine(folder, "query")];
        for (int i = 0; i < raw.Length; i++)
        {
            await ExternalTool.RunAsync(
                "ffmpeg", ["-v", "error", "-i", files[i], "-vn", "-af", "pan=mono|c0=c0", "-ar", "48000", "-f", "f32le", raw[i]],
                feed: null, CancellationToken.None);
        }

        (double wall, double processor, double lag, long grown) = await OursAsync(files, raw, folder);
        string script = Path.Combine(folder, "peer.py");
        await File.WriteAllTextAsync(script, Python);
        string words = System.Text.Encoding.UTF8.GetString(
            await ExternalTool.RunAsync("/usr/bin/python3", [script, .. raw], feed: null, CancellationToken.None));
        double[] peer = [.. words.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries).Select(text => double.Parse(text, CultureInfo.InvariantCulture))];
        Directory.Delete(folder, recursive: true);
        CultureInfo plain = CultureInfo.InvariantCulture;
        Console.WriteLine("one hour against one hour, from decoded samples");
        Console.WriteLine(string.Create(plain, $"  scipy.signal.correlate at 48 kHz  {peer[0],7:0.00} s, processor {peer[1],7:0.00} s, resident at most {peer[2] / 1000:0} MB, of which the sound {peer[3] / 1000:0} MB; lag {peer[4] / 48000:0.0000} s"));
        Console.WriteLine(string.Create(plain, $"  ours, features to placement       {wall,7:0.00} s, processor {processor,7:0.00} s, resident grew by {grown / 1e6:0} MB; lag {lag:0.0000} s"));
        Console.WriteLine(string.Create(plain, $"  scipy over ours                   {peer[0] / wall,7:0.0}     processor {peer[1] / processor,7:0.0}     memory {(peer[2] * 1000) / grown:0.0}"));
    }

    private static async Task<(double Wall, double Processor, double Lag, long Grown)> OursAsync(string[] files, string[] raw, string folder)
    {
        Clip[] clips = new Clip[files.Length];
        for (int i = 0; i < files.Length; i++)
        {
            var file = new MediaFile(Path.GetFileName(files[i]), files[i], new FileInfo(files[i]).Length);
            MediaInfo media = (await MediaProbe.ProbeAsync(file, CancellationToken.None)).Media!;
            MicRole role = i == 0 ? MicRole.Lavalier : MicRole.Scratch;
            clips[i] = new Clip(
                media, new Device($"device {i}", i == 0 ? DeviceKind.Recorder : DeviceKind.Camera, null, null),
                [new MicChannel(0, role)], "bench");
        }

        GC.Collect();
        using var self = Process.GetCurrentProcess();
        long before = self.WorkingSet64;
        double used = Environment.CpuUsage.TotalTime.TotalSeconds;
        var clock = Stopwatch.StartNew();
        var heard = new HeardClip[clips.Length];
        Parallel.For(0, clips.Length, i => heard[i] = Hear(clips[i], raw[i], folder));
        AlignmentResult result = new Aligner(0.99).Align(heard, progress: null, CancellationToken.None);
        double wall = clock.Elapsed.TotalSeconds, processor = Environment.CpuUsage.TotalTime.TotalSeconds - used;
        self.Refresh();
        long grown = Math.Max(self.WorkingSet64, self.PeakWorkingSet64) - before;
        double lag = result.Clips[1].Placement is { } placement && result.Clips[0].Placement is { } zero
            ? (placement.Map.Offset - zero.Map.Offset).ToSeconds()
            : double.NaN;
        foreach (HeardClip clip in heard)
        {
            clip.Sound.Dispose();
        }

        return (wall, processor, lag, grown);
    }

    private static HeardClip Hear(Clip clip, string raw, string folder)
    {
        var bands = new BandLevelMeter(1);
        var store = new SoundStore(1, folder);
        var feed = new SoundFeed(48_000, 1, [bands, store]);
        var samples = new float[BlockSamples];
        using FileStream file = File.OpenRead(raw);
        for (int bytes; (bytes = file.ReadAtLeast(MemoryMarshal.AsBytes(samples.AsSpan()), BlockSamples * sizeof(float), throwOnEndOfStream: false)) > 0;)
        {
            feed.Interleaved(samples.AsSpan(0, bytes / sizeof(float)));
        }

        feed.Finish();
        return new HeardClip(clip, [bands.Of(0)], store);
    }
}
