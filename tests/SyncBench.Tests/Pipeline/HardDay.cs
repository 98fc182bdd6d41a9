using System.Globalization;
using SyncBench.Intake;
using SyncBench.Scenes;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

/// <summary>
/// A day of sound that tempts, in real files: a recorder that ran forty minutes, a sentence read three times, a music loop
/// and a hum through everything, a clap and a beep as the only sharp sounds. One recorder file for each, its clock true.
/// </summary>
public sealed class HardDay : IAsyncLifetime, IDisposable
{
    internal const int ShortClips = 16, Readings = 3;

    private const double Metres = 2.5, CameraPpm = 30;
    private const int RateHz = Air.SampleRateHz;

    private static readonly DeviceClock RecorderClock = new(0);

    private readonly RenderedDump _dump = new();
    private readonly TemporaryFolder _scratch = new();
    private readonly Dictionary<string, double> _starts = [];

    internal DumpResult Result { get; private set; } = null!;

    /// <summary>Where the file's time zero must lie on the clock of its recorder's file for the subject's voice to be lined up.</summary>
    internal double StartOf(string file) => _starts[file];

    public async Task InitializeAsync()
    {
        await FortyMinutesAsync();
        await RetakesAsync();
        await ThroughEverythingAsync("RECORDER/R003.WAV", "CAM_C/C001.MP4", "CAM_C/C002.MP4", seed: 13, MusicLoop.Play(60 * RateHz), 0.1f, 0.3f);
        await ThroughEverythingAsync("RECORDER/R004.WAV", "CAM_D/D001.MP4", "CAM_D/D002.MP4", seed: 14, Hum(60 * RateHz), 0.1f, 0.3f);
        await SharpSoundsAsync();
        Result = await _dump.RunAsync(new DumpSettings([new DeviceRule("RECORDER/**", "RECORDER")]));
    }

    public Task DisposeAsync() => Task.CompletedTask;

    public void Dispose()
    {
        _dump.Dispose();
        _scratch.Dispose();
    }

    /// <summary>Sixteen short talks in forty minutes of quiet room: ffmpeg lays them there, the whole in memory would be half a gigabyte.</summary>
    private async Task FortyMinutesAsync()
    {
        var random = new SeededRandom(11, "short talks");
        Rehearsal rehearsal = await Rehearsal.OfAsync(
            [
                .. Enumerable.Range(0, ShortClips).Select(_ => new Line(
                    Part.TakeOne, Speaker.Subject, Delivery.Turn, [SmallTalk.Sentence(random), SmallTalk.Sentence(random), SmallTalk.Sentence(random)])),
            ],
            2, breakSeconds: 0, seed: 11);
        Scene talk = HallTalk.Of(rehearsal, (rehearsal.Turns[^1].End / (double)RateHz) + 1, seed: 11);
        float[] near = talk.Hear(HallTalk.Far("near", Metres, snr: 15));
        await BroadcastWave.WriteAsync(
            _scratch.File("lavalier.wav"), [talk.Hear(HallTalk.Near("lavalier"))], RateHz, "test", "lavalier", DateTime.UnixEpoch,
            CancellationToken.None);
        var laid = new List<string>();
        for (int i = 0; i < ShortClips; i++)
        {
            SpokenTurn turn = rehearsal.Turns[i];
            int from = turn.Start - (RateHz / 2), at = (int)((20 + (i * 145.1234)) * RateHz);
            laid.Add($"[a{i}]atrim=start_sample={from}:end_sample={turn.End + (RateHz / 2)},asetpts=PTS-STARTPTS,adelay={at}S[b{i}]");
            string file = string.Create(CultureInfo.InvariantCulture, $"CAM_A/A{i + 1:000}.MP4");
            await CameraAsync(file, Cut(file, near, (double)(turn.Start - (RateHz / 5)) / RateHz, (double)(turn.End - turn.Start) / RateHz));
            _starts[file] += (double)(at - from) / RateHz;
        }

        string names = string.Concat(Enumerable.Range(0, ShortClips).Select(i => $"[b{i}]"));
        await Tool.FfmpegAsync(
            "-i", _scratch.File("lavalier.wav"), "-filter_complex",
            $"[0]asplit={ShortClips}{names.Replace('b', 'a')};{string.Join(';', laid)};"
            + $"anoisesrc=r={RateHz}:d=2400:c=pink:a=0.002:seed=3[n];[n]{names}amix=inputs={ShortClips + 1}:normalize=0:duration=first",
            "-c:a", "pcm_s16le", _dump.PathOf("RECORDER/R001.WAV"));
    }

    /// <summary>The very same samples three times, which no talker manages: only what lies around them tells them apart.</summary>
    private async Task RetakesAsync()
    {
        const string Sentence = "The walk is three hundred yards, and I have gone it backwards every day of my life.";
        var random = new SeededRandom(12, "retakes");
        Line[] lines =
        [
            .. Enumerable.Range(0, Readings).SelectMany(_ => new Line[]
            {
                new(Part.TakeOne, Speaker.Interviewer, Delivery.Turn, [SmallTalk.Question(random)]),
                new(Part.TakeOne, Speaker.Subject, Delivery.Turn, [Sentence, SmallTalk.Sentence(random), SmallTalk.Sentence(random)]),
            }),
        ];
        Rehearsal rehearsal = await Rehearsal.OfAsync(lines, 0.5, breakSeconds: 0, seed: 12);
        Scene talk = HallTalk.Of(rehearsal, (rehearsal.Turns[^1].End / (double)RateHz) + 4, seed: 12);
        float[] near = talk.Hear(HallTalk.Far("near", Metres, snr: 15));
        await _dump.SoundAsync("RECORDER/R002.WAV", talk.Hear(HallTalk.Near("lavalier")));
        SpokenSentence[] readings = [.. rehearsal.Sentences.Where(sentence => sentence.Words == Sentence)];
        for (int i = 0; i < Readings; i++)
        {
            string file = string.Create(CultureInfo.InvariantCulture, $"CAM_B/B{i + 1:000}.MP4");
            await CameraAsync(file, Cut(file, near, Math.Max(0, ((double)readings[i].Start / RateHz) - 1), 12));
        }
    }

    /// <summary>A talk with one and the same sound under it at both mics, and a clip that hears that sound alone.</summary>
    private async Task ThroughEverythingAsync(
        string recorder, string camera, string without, ulong seed, float[] sound, float atRecorder, float atCamera)
    {
        const int Later = (int)(0.006 * RateHz);
        Scene talk = await HallTalk.OfAsync(seed, 45);
        float[] near = talk.Hear(HallTalk.Far("near", Metres, snr: 15));
        await _dump.SoundAsync(recorder, Mix.Sum(talk.Hear(HallTalk.Near("lavalier")), sound, atRecorder));
        await CameraAsync(camera, Cut(camera, Mix.Sum(near, sound.AsSpan(Later), atCamera), 5.4, 35));
        float[] room = Mix.Times(Noise.Pink(30 * RateHz, new SeededRandom(seed, "room")), 0.003f);
        await CameraAsync(without, Mix.Sum(room, sound.AsSpan((12 * RateHz) + Later), atCamera));
    }

    private async Task SharpSoundsAsync()
    {
        float[] Room(int seconds, ulong seed) => Mix.Times(Noise.Pink(seconds * RateHz, new SeededRandom(seed, "room")), 0.002f);
        float[] clap = [.. Enumerable.Range(0, RateHz / 10).Select(n => (float)(0.8 * Math.Exp(-n / 240.0) * Math.Sin(n * 0.37)))];
        float[] beep = [.. Enumerable.Range(0, RateHz / 5).Select(n => (float)(0.3 * Math.Sin(Math.Tau * 1000 * n / RateHz)))];
        float[] recorder = Room(100, 1), clapped = Room(30, 2), beeped = Room(30, 3);
        Lay(recorder, clap, 47);
        Lay(recorder, beep, 80);
        Lay(clapped, clap, 12);
        Lay(beeped, beep, 14);
        await _dump.SoundAsync("RECORDER/R005.WAV", recorder);
        await CameraAsync("CAM_E/E001.MP4", clapped);
        await CameraAsync("CAM_E/E002.MP4", beeped);
    }

    private Task CameraAsync(string file, float[] sound) => _dump.CameraAsync(file, [sound], "-c:a", "aac", "-b:a", "128k");

    private float[] Cut(string file, float[] sound, double start, double seconds)
    {
        _starts[file] = SoundAligned.StartSeconds(start, 0, RecorderClock, Metres, HallTalk.LavalierMetres);
        return new DeviceClock(CameraPpm).Record(sound, start, (int)(seconds * RateHz));
    }

    private static float[] Hum(int count) =>
    [
        .. Enumerable.Range(0, count).Select(n => (float)Enumerable.Range(1, 8)
            .Sum(harmonic => 0.2 / harmonic * Math.Sin(Math.Tau * 50 * harmonic * n / RateHz))),
    ];

    private static void Lay(float[] sound, float[] other, int seconds)
    {
        for (int n = 0; n < other.Length; n++)
        {
            sound[(seconds * RateHz) + n] += other[n];
        }
    }
}
