using System.Diagnostics;
using System.Text;
using SyncBench.Intake;
using SyncBench.Intake.Integrity;
using SyncBench.Media;
using SyncBench.Pipeline;

namespace SyncBench.Benchmarks.Faults;

/// <summary>Every parser of our own, and probing and decoding, each with whole files to begin from.</summary>
internal static class FaultTargets
{
    private static readonly byte[] Notes = Encoding.UTF8.GetBytes(
        "<BWFXML><SCENE>12A</SCENE><TAKE>3</TAKE><SPEED><TIMECODE_RATE>25/1</TIMECODE_RATE><TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>591751049"
        + "</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO></SPEED><TRACK_LIST><TRACK><INTERLEAVE_INDEX>1</INTERLEAVE_INDEX><NAME>Boom</NAME></TRACK></TRACK_LIST></BWFXML> ");

    internal static async Task<FaultTarget[]> MakeAsync(string folder)
    {
        byte[] wave = await ByFfmpegAsync(folder, "a.wav", "-f lavfi -i sine=d=0.2:r=48000 -c:a pcm_s24le -write_bext 1");
        byte[] rf64 = await ByFfmpegAsync(folder, "b.wav", "-f lavfi -i sine=d=0.1:r=48000 -c:a pcm_s16le -rf64 always");
        byte[] movie = await ByFfmpegAsync(
            folder, "a.mov", "-f lavfi -i testsrc2=s=64x48:r=25:d=0.4 -f lavfi -i sine=d=0.4 -c:v libx264 -preset ultrafast -c:a aac -timecode 10:00:00:00");
        byte[] stream = await ByFfmpegAsync(
            folder, "a.ts", "-f lavfi -i testsrc2=s=64x48:r=25:d=0.2 -f lavfi -i sine=d=0.2 -c:v mpeg2video -c:a ac3");
        byte[] notes =
        [
            .. wave, .. "iXML"u8, .. BitConverter.GetBytes(Notes.Length), .. Notes,
        ];
        byte[][] manifests = [Manifest(), Encoding.UTF8.GetBytes("<hashlist version=\"2.0\" xmlns=\"urn:ASC:MHL:v2.0\"/>")];
        byte[] chain = MhlChain.Write([new MhlLink(1, "0001_ropewalk-day2_2026-11-25_120000Z.mhl", RunningHash.Of(HashKind.C4, "1"u8).Value)]);
        byte[] settings = "{ \"devices\": [ { \"match\": \"CAM_A/**\", \"name\": \"CAM_A\", \"mics\": [\"scratch\", \"shotgun\"], \"distance_m\": 3.2 } ], \"certainty\": 0.99 }"u8.ToArray();
        byte[] corrections = "{ \"mics\": [ { \"take\": 1, \"mic\": \"shotgun\", \"from\": \"12:03\", \"to\": \"12:40\", \"clock\": { \"file\": \"A.MP4\", \"start_s\": 3.5 } } ], \"roles\": [ { \"file\": \"A.MP4\", \"angle\": \"close\" } ], \"placed\": [ { \"file\": \"B.MP4\", \"against\": \"A.MP4\", \"offset_s\": -1.5 } ], \"left_out\": [ \"C.MP4\" ] }"u8.ToArray();
        byte[] results = "{\"dump\":{\"name\":\"ropewalk-day2\"},\"files\":[{\"path\":\"CAM_A/A001C001.MP4\",\"bytes\":12,\"xxh128\":null}]}"u8.ToArray();
        byte[] patterns = Encoding.UTF8.GetBytes(string.Join('\n', [.. IgnorePatterns.Usual, "/CAM_A/**/*.x?l", "!keep.xml"]));
        byte[] names = "CAM_A/A001C001.MP4\nCAM_A/A001C003.MP4\nRECORDER/T_001.WAV"u8.ToArray();
        return
        [
            new("WAVE header", ".wav", [wave, rf64], (bytes, _) => Read(WaveHeader.Read(new MemoryStream(bytes)) is { } header ? $"{header.HeldSeconds}{header.IsWrong}" : null), 2),
            new("MP4 and MOV boxes", ".mov", [movie], (bytes, _) => Read(MovieBoxes.Read(new MemoryStream(bytes))?.ToString()), 2),
            new("iXML chunk", ".wav", [notes], (bytes, _) => Task.FromResult(RecorderNotesReader.Read(new MemoryStream(bytes)).Problem), 2),
            new("ASC MHL manifest", ".mhl", manifests, (bytes, _) => Refused<MhlException>(() => MhlReader.Read(bytes)), 2),
            new("ASC MHL chain", ".xml", [chain], (bytes, _) => Refused<MhlException>(() => MhlChain.Read(bytes)), 1),
            new("ignore patterns", ".txt", [patterns], (bytes, _) => Refused<MhlException>(() => Ignore(bytes)), 1),
            new("settings", ".json", [settings], (_, path) => Refused<SettingsException>(() => DumpSettings.Load(path)), 1) { NeedsFile = true },
            new("corrections", Corrections.FileName, [corrections], (_, path) => Refused<SettingsException>(() => Corrections.Load(Path.GetDirectoryName(path)!)), 1) { NeedsFile = true },
            new("results of the last run", "sync.json", [results], (_, path) => Read(string.Concat(LastRun.Load(Path.GetDirectoryName(path)!, "ropewalk-day2")?.Differences([], new Dictionary<MediaFile, HashedFile>()) ?? [])), 1) { NeedsFile = true },
            new("numbers in file names", ".txt", [names], (bytes, _) => Read(string.Concat(RunningNumbers.Holes(Encoding.UTF8.GetString(bytes).Split('\n')))), 1),
            new("probing and decoding", ".mov", [wave, rf64, movie, stream], (_, path) => ProbeAsync(path), 1)
            {
                NeedsFile = true,
                Limit = TimeSpan.FromSeconds(90), // its own limit is a minute without any progress
            },
        ];
    }

    private static async Task<string?> ProbeAsync(string path)
    {
        ProbeResult probed = await MediaProbe.ProbeAsync(new MediaFile("a.mov", path, new FileInfo(path).Length), CancellationToken.None);
        if (probed.Media is not { Audio.IsEmpty: false } media)
        {
            return probed.Problem;
        }

        SoundReading reading = await SoundReader.ReadAsync(media, [], null, CancellationToken.None);
        return reading.Problem ?? media.Damage;
    }

    private static Task<string?> Refused<TException>(Action read)
        where TException : Exception
    {
        try
        {
            read();
            return Task.FromResult<string?>(null);
        }
        catch (TException refused)
        {
            return Task.FromResult<string?>(refused.Message);
        }
    }

    /// <summary>For parsers that say nothing of damage: what they found is of no interest, that they came to an end is.</summary>
    private static Task<string?> Read(string? found)
    {
        GC.KeepAlive(found);
        return Task.FromResult<string?>(null);
    }

    private static void Ignore(byte[] bytes)
    {
        var patterns = new IgnorePatterns(Encoding.UTF8.GetString(bytes).Split('\n'));
        _ = patterns.Ignores("CAM_A/CLIP/aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa.xml");
    }

    private static byte[] Manifest()
    {
        FileHash hash = RunningHash.Of(HashKind.Xxh128, "rope"u8), c4 = RunningHash.Of(HashKind.C4, "rope"u8);
        var at = new DateTimeOffset(2026, 11, 25, 12, 0, 0, TimeSpan.FromHours(1));
        return MhlWriter.Write(new MhlManifest(
            at, "cart", "SyncBench", "1.0", IgnorePatterns.Usual, new MhlFolder(string.Empty, hash, hash),
            [
                new MhlFile("CAM_A/A001C001.MP4", 4, at, [new MhlHash(hash, MhlAction.Original), new MhlHash(c4, MhlAction.Verified)]),
                new MhlFile("RECORDER/T_001.WAV", 4, at, [new MhlHash(hash, MhlAction.Failed)], "T_001.WAV"),
            ],
            [new MhlFolder("CAM_A", hash, hash)]));
    }

    private static async Task<byte[]> ByFfmpegAsync(string folder, string name, string arguments)
    {
        string path = Path.Combine(folder, name);
        using Process ffmpeg = Process.Start("ffmpeg", [.. "-nostdin -v error -y".Split(' '), .. arguments.Split(' '), path]);
        await ffmpeg.WaitForExitAsync();
        return await File.ReadAllBytesAsync(path);
    }
}
