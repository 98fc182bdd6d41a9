using System.Globalization;
using static SyncBench.Scenes.DemoSet;

namespace SyncBench.Scenes;

/// <summary>
/// The dump of the demo: the second day at the ropewalk of Tallowick, as real files with known truth. Two takes of an
/// interview, two cameras, a recorder that runs through, two faults, two B-roll clips and a file that is not media.
/// </summary>
public static class DemoDump
{
    public const string Name = "ropewalk-day2";

    /// <summary>Raise it with every change that alters a byte of the dump.</summary>
    public const string Version = "5";

    private const int FrameSamples = Air.SampleRateHz / CameraFile.FramesPerSecond;

    /// <summary>Makes the dump, its settings and its truth in a folder, unless they are there already.</summary>
    /// <returns>The dump's path and its truth.</returns>
    /// <exception cref="InvalidOperationException">espeak-ng or ffmpeg is missing or failed.</exception>
    public static async Task<(string Dump, Truth Truth)> MakeAsync(
        string folder, Action<string>? progress = null, CancellationToken cancel = default)
    {
        string dump = Path.Combine(folder, Name);
        string truthPath = Path.Combine(folder, Name + ".truth.json");
        string stampPath = Path.Combine(folder, Name + ".made");
        Directory.CreateDirectory(folder);
        await using FileStream alone = await Maker.AloneAsync(Path.Combine(folder, Name + ".maker"), cancel);
        if (File.Exists(stampPath) && File.Exists(truthPath) && Directory.Exists(dump)
            && string.Equals(await File.ReadAllTextAsync(stampPath, cancel), Stamp(dump), StringComparison.Ordinal))
        {
            progress?.Invoke($"{dump} is there already (version {Version}).");
            return (dump, await Truth.ReadAsync(truthPath, cancel));
        }

        string making = dump + ".making";
        foreach (string old in new[] { dump, making }.Where(Directory.Exists))
        {
            Directory.Delete(old, recursive: true);
        }

        File.Delete(stampPath);
        Truth truth = await WriteFilesAsync(making, progress ?? (_ => { }), cancel);
        Directory.Move(making, dump);
        await truth.WriteAsync(truthPath, cancel);
        await File.WriteAllTextAsync(Path.Combine(folder, Name + ".settings.json"), Settings, cancel);
        await File.WriteAllTextAsync(stampPath, Stamp(dump), cancel);
        return (dump, truth);
    }

    private static async Task<Truth> WriteFilesAsync(string dump, Action<string> progress, CancellationToken cancel)
    {
        progress("speaking the interview (espeak-ng)");
        Rehearsal rehearsal = await RehearseAsync();
        DemoPlan plan = DemoPlan.For(rehearsal);
        var room = new ShoeboxRoom(RoomSize, Rt60);
        int length = (int)((plan.End + 8) * Air.SampleRateHz);
        var scene = new Scene(room, [.. rehearsal.Sentences.Select(sentence => new Utterance(
            sentence.Line.Speaker == Speaker.Subject, sentence.Start, sentence.Samples,
            sentence.Line.Speaker == Speaker.Subject ? Subject : Interviewer))], length, Seed);

        Disturbance fault(double seconds, float[] sound, double gainDb) =>
            new((int)(seconds * Air.SampleRateHz), sound, gainDb);
        int faultLength = (int)(DemoPlan.FaultSeconds * Air.SampleRateHz);
        float[] rustle = Noise.Rustle(faultLength, new SeededRandom(Seed, "rustle"));
        float[] wind = Noise.Wind(faultLength, new SeededRandom(Seed, "wind"));
        Microphone lavalier = LavalierMic with { Disturbances = [fault(plan.Rustle, rustle, gainDb: -18)] };
        Microphone shotgun = ShotgunMic with { Disturbances = [fault(plan.Wind, wind, gainDb: 24)] };

        foreach (string device in new[] { "RECORDER", "CAM_A", "CAM_B" })
        {
            Directory.CreateDirectory(Path.Combine(dump, device));
        }

        progress($"{plan.End / 60:0.0} minutes of sound in a room of {RoomSize.X} x {RoomSize.Y} x {RoomSize.Z} m, "
            + "5 microphones, each device by its own clock");
        using var twoAtOnce = new SemaphoreSlim(2);
        async Task InTurnAsync(string what, Func<Task> make)
        {
            await twoAtOnce.WaitAsync(cancel);
            try
            {
                progress(what);
                await Task.Run(make, cancel);
            }
            finally
            {
                twoAtOnce.Release();
            }
        }

        await Task.WhenAll(
            InTurnAsync("CAM_A: 3 clips, scratch mic and shotgun", () =>
                WriteCameraAsync(
                    scene, dump, plan.CameraA, CameraAClock, CameraAClockError, Wide(rehearsal),
                    [ScratchA, shotgun], timecode: false, cancel)),
            InTurnAsync("CAM_B: 2 clips, scratch mics", () =>
                WriteCameraAsync(
                    scene, dump, plan.CameraB, CameraBClock, CameraBClockError, Close(rehearsal),
                    [ScratchBLeft, ScratchBRight], timecode: true, cancel)),
            InTurnAsync("RECORDER: lavalier", () => WriteRecorderAsync(scene, dump, plan, lavalier, cancel)),
            InTurnAsync("B-roll and a file that is not media", () => WriteOthersAsync(dump, plan, cancel)));

        return DemoTruth.Of(plan, rehearsal);
    }

    private static async Task WriteRecorderAsync(
        Scene scene, string dump, DemoPlan plan, Microphone lavalier, CancellationToken cancel)
    {
        float[] sound = RecorderClock.Record(scene.Hear(lavalier), RecorderStart, plan.RecorderSamples);
        DateTime started = Morning.AddSeconds(RecorderStart);
        string path = Path.Combine(dump, DemoPlan.RecorderFile);
        await BroadcastWave.WriteAsync(
            path, [sound], Air.SampleRateHz, "TALLOWICK REC", "Ropewalk day 2, lavalier on Ines Harrow", started, cancel);
        File.SetLastWriteTimeUtc(path, started.AddSeconds(plan.RecorderSamples / (double)Air.SampleRateHz));
    }

    private static async Task WriteCameraAsync(
        Scene scene, string dump, IReadOnlyList<CameraClip> clips, DeviceClock clock, double clockError,
        Picture picture, IReadOnlyList<Microphone> mics, bool timecode, CancellationToken cancel)
    {
        float[][] air = [.. mics.Select(scene.Hear)];
        foreach (CameraClip clip in clips)
        {
            float[][] sound = [.. air.Select(mic => clock.Record(mic, clip.Start, clip.Frames * FrameSamples))];
            await WriteClipAsync(dump, clip, picture, sound, clockError, timecode, cancel);
        }
    }

    private static async Task WriteClipAsync(
        string dump, CameraClip clip, Picture picture, float[][]? sound, double clockError, bool timecode,
        CancellationToken cancel)
    {
        DateTime created = Morning.AddSeconds(clip.Start + clockError);
        long frameOfDay = (long)(created.TimeOfDay.TotalSeconds * CameraFile.FramesPerSecond);
        string label = string.Create(CultureInfo.InvariantCulture,
            $"{created:HH:mm:ss}:{frameOfDay % CameraFile.FramesPerSecond:00}");
        string path = Path.Combine(dump, clip.File);
        await CameraFile.WriteAsync(
            path, picture, clip.Frames, clip.Start, sound, created, timecode ? label : null, cancel);
        File.SetLastWriteTimeUtc(path, created.AddSeconds(clip.Seconds));
    }

    private static async Task WriteOthersAsync(string dump, DemoPlan plan, CancellationToken cancel)
    {
        float[] silence = new float[plan.SilentBRoll.Frames * FrameSamples];
        await WriteClipAsync(
            dump, plan.SilentBRoll, HackleBoard, [silence, silence], CameraAClockError, timecode: false, cancel);
        await WriteClipAsync(dump, plan.MuteBRoll, Quay, sound: null, CameraBClockError, timecode: true, cancel);
        string path = Path.Combine(dump, DemoPlan.NotMediaFile);
        await File.WriteAllTextAsync(path, NotMedia, cancel);
        File.SetLastWriteTimeUtc(path, Morning.AddSeconds(plan.MuteBRoll.Start + 60));
    }

    /// <summary>Version and size of every file: enough to see that a dump is whole and of this version.</summary>
    private static string Stamp(string dump) => string.Join('\n', new DirectoryInfo(dump)
        .EnumerateFiles("*", SearchOption.AllDirectories)
        .Select(file => $"{Path.GetRelativePath(dump, file.FullName)} {file.Length}")
        .Order(StringComparer.Ordinal)
        .Prepend($"version {Version}"));

    private const string NotMedia =
        "This is a shot list, saved by mistake under the name of a clip.\n"
        + "1. Quay at low water\n2. Hackle board, hands\n3. The whole walk, door to door\n";

    public const string Settings =
        """
        // Settings for the made dump ropewalk-day2: which device a file is from, its angle and its microphones.
        {
          "devices": [
            { "match": "CAM_A/**", "name": "CAM_A", "angle": "wide", "mics": ["scratch", "shotgun"] },
            { "match": "CAM_B/**", "name": "CAM_B", "angle": "close", "mics": ["scratch", "scratch"] },
            { "match": "RECORDER/**", "name": "RECORDER", "mics": ["lavalier"] }
          ]
        }

        """;
}
