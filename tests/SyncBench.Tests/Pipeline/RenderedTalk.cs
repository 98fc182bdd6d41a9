using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;

namespace SyncBench.Tests.Pipeline;

/// <summary>
/// A talk in a hall, written into the files of many devices, and the run over them. Times are seconds since the talk began.
/// </summary>
public sealed class RenderedTalk : IAsyncLifetime, IDisposable
{
    internal const double LateMs = 80, FarMetres = 10, LostSeconds = 0.04, GapSeconds = 2.2;

    private const double Seconds = 130;

    private static readonly DeviceClock RecorderClock = new(12);

    private readonly RenderedDump _dump = new();
    private readonly Dictionary<string, double> _starts = [];

    internal DumpResult Result { get; private set; } = null!;

    /// <summary>Where the file's time zero must lie on the recorder's clock for the subject's voice to be lined up.</summary>
    internal double StartOf(string file) => _starts[file];

    public async Task InitializeAsync()
    {
        var talk = await HallTalk.OfAsync(seed: 5, Seconds);
        float[] lavalier = talk.Hear(HallTalk.Near("lavalier"));
        float[] near = talk.Hear(HallTalk.Far("near", 2.5, snr: 15));
        float[] far = talk.Hear(HallTalk.Far("far", FarMetres, snr: 5));

        float[] recorded = RecorderClock.Record(lavalier, 1, 120 * 48_000);
        float[] quiet = Noise.Pink(recorded.Length, new SeededRandom(9, "quiet"));
        await _dump.SoundAsync("RECORDER/R001.WAV", Mix.Times(quiet, 3e-4f), recorded, Hum(recorded.Length), Mix.Times(recorded, 0.25f));
        await _dump.SoundAsync("RECORDER_2/S001.WAV", Cut("RECORDER_2/S001.WAV", lavalier, 4, 40, ppm: -25, metres: null));
        await _dump.SoundAsync("RECORDER_2/S002.WAV", Cut("RECORDER_2/S002.WAV", lavalier, 60.5, 45, ppm: -25, metres: null));

        float[] a = Cut("CAM_A/A001.MP4", near, 5, 100, 31, 2.5);
        float[] side = Noise.Pink(a.Length, new SeededRandom(3, "side"));
        await _dump.CameraAsync("CAM_A/A001.MP4", [Mix.Sum(a, side, 0.002f), Mix.Sum(a, side, -0.002f)], "-c:a", "aac", "-b:a", "128k");
        await _dump.CameraAsync("CAM_B/B001.MOV", [Mix.Times(Cut("CAM_B/B001.MOV", near, 12, 60, -40, 2.5), -1)], "-c:a", "pcm_s16le", "-ar", "44100");
        await _dump.CameraAsync("CAM_C/C001.MP4", [Cut("CAM_C/C001.MP4", far, 8, 90, 18, FarMetres)], "-c:a", "aac", "-b:a", "128k");
        _starts["CAM_C/C001.MP4"] += Air.TravelSeconds(FarMetres) / RecorderClock.TrueSeconds;
        await _dump.CameraAsync("CAM_D/D001.MP4", [Cut("CAM_D/D001.MP4", near, 20 - (LateMs / 1000), 60, 7, 2.5)], "-c:a", "aac", "-b:a", "128k");
        _starts["CAM_D/D001.MP4"] += LateMs / 1000 / RecorderClock.TrueSeconds;

        float[] through = Cut("CAM_E/E001.MOV", near, 10, 100, -15, 2.5);
        await _dump.CameraAsync("CAM_E/E001.MOV", [through[..(30 * 48_000)]], "-c:a", "pcm_s16le");
        await _dump.CameraAsync("CAM_E/E002.MOV", [through[(30 * 48_000)..(60 * 48_000)]], "-c:a", "pcm_s16le");
        await _dump.CameraAsync("CAM_E/E003.MOV", [through[(int)((60 + GapSeconds) * 48_000)..]], "-c:a", "pcm_s16le");

        float[] whole = Cut("CAM_F/F001.MP4", near, 15, 80, 22, 2.5);
        int loss = 40 * 48_000;
        await _dump.CameraAsync("CAM_F/F001.MP4", [[.. whole[..loss], .. whole[(loss + (int)(LostSeconds * 48_000))..]]], "-c:a", "aac", "-b:a", "128k");
        await _dump.CameraAsync("CAM_G/G001.MP4", [Ridden(Cut("CAM_G/G001.MP4", near, 6, 70, -8, 2.5))], "-c:a", "aac", "-b:a", "128k");
        await StrangersAsync();
        await RunAsync();
    }

    public Task DisposeAsync() => Task.CompletedTask;

    public void Dispose() => _dump.Dispose();

    /// <summary>Clips that belong to nothing here: another day's talk of the same speakers, noise, a tone, silence.</summary>
    private async Task StrangersAsync()
    {
        // Slower by a few parts in a hundred: a synthesiser says a sentence again in the very same samples, as no one alive does.
        Scene other = await HallTalk.OfAsync(seed: 6, seconds: 40);
        await _dump.CameraAsync("CAM_H/H001.MP4", [new DeviceClock(-40_000).Record(other.Hear(HallTalk.Far("near", 2.5, 15)), 2, 30 * 48_000)], "-c:a", "aac");
        await _dump.CameraAsync("CAM_H/H002.MP4", [Mix.Times(Noise.Pink(30 * 48_000, new SeededRandom(4, "noise")), 0.5f)], "-c:a", "aac");
        await _dump.CameraAsync(
            "CAM_H/H003.MP4",
            [[.. Enumerable.Range(0, 30 * 48_000).Select(n => (float)(0.1 * Math.Sin(Math.Tau * 440 * n / 48_000)))]], "-c:a", "aac");
        await _dump.CameraAsync("CAM_H/H004.MP4", [new float[30 * 48_000]], "-c:a", "aac");
    }

    private async Task RunAsync()
    {
        var settings = new DumpSettings(
        [
            new DeviceRule("RECORDER/**", "RECORDER", Mics: [MicRole.Scratch, MicRole.Lavalier]),
            new DeviceRule("CAM_C/**", "CAM_C", DistanceM: FarMetres),
            new DeviceRule("CAM_D/**", "CAM_D", PictureOffsetMs: LateMs),
        ]);
        Result = await _dump.RunAsync(settings);
    }

    private float[] Cut(string file, float[] sound, double start, double seconds, double ppm, double? metres)
    {
        double near = HallTalk.LavalierMetres;
        _starts[file] = SoundAligned.StartSeconds(start, 1, RecorderClock, metres ?? near, near);
        return new DeviceClock(ppm).Record(sound, start, (int)(seconds * 48_000));
    }

    private static float[] Hum(int count) =>
        [.. Enumerable.Range(0, count).Select(n => (float)(0.02 * (Math.Sin(Math.Tau * 50 * n / 48_000) + (0.5 * Math.Sin(Math.Tau * 150 * n / 48_000)))))];

    /// <summary>Automatic gain as cameras ride it: down at once where it is loud, up over seconds where it is quiet.</summary>
    private static float[] Ridden(float[] sound)
    {
        float level = 0.01f;
        return Array.ConvertAll(sound, sample =>
        {
            level = Math.Max(Math.Abs(sample), Math.Max(0.003f, level * 0.99999f));
            return 0.1f * sample / level;
        });
    }
}
