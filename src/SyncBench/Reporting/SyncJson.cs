using System.Text.Json;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Selection.Speakers;
using SyncBench.Signal.Loudness;
using SyncBench.Time;
using SyncBench.Timeline;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Reporting;

/// <summary>
/// sync.json: everything that is known of a dump, for programs; its schema is docs/sync.schema.json. Times are seconds,
/// on the common clock unless the name says otherwise; channels count from 1; null stands where there is no value.
/// </summary>
public static class SyncJson
{
    /// <summary>Goes up whenever a reader of the old form could be misled by the new.</summary>
    private const int Version = 1;

    private static readonly JsonSerializerOptions Format = new() { PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower };

    /// <summary>UTF-8 without a byte order mark. The stream stays open.</summary>
    /// <param name="timeline">Of timeline.otio; null where there is no one timeline.</param>
    /// <param name="results">The other files of this run.</param>
    public static void Write(Stream stream, DumpResult result, TimelineModel? timeline, IEnumerable<string> results) => JsonSerializer.Serialize(
        stream,
        new
        {
            Version,
            result.MadeAt,
            Dump = new { result.Name, result.Root },
            Timeline = timeline is null ? null : OfTimeline(timeline),
            Clocks = result.Clocks.Select(OfClock),
            Findings = result.Findings.Select(finding => new { Kind = Words.Of(finding.Kind), finding.Path, finding.Problem }),
            Files = result.Files.Select(file => OfFile(result, file)),
            Takes = result.Takes.Select(OfTake),
            Results = results,
        },
        Format);

    private static object OfTimeline(TimelineModel timeline) => new
    {
        FrameRate = timeline.FrameRate.ToString(),
        timeline.Numbering.DropFrame,
        StartsAt = timeline.Numbering.Format(timeline.FirstFrame),
        StartS = Figures.Seconds(timeline.Start),
    };

    private static object OfClock(DeviceClock clock) => new
    {
        Device = clock.Device.Name,
        Kind = clock.Device.Kind.InWords(),
        clock.Device.Angle,
        DistanceM = clock.Device.DistanceMetres is { } metres ? Figures.Finite(metres, 3) : null,
        PictureOffsetMs = clock.Device.SoundBehindPicture.ToMilliseconds() is var late and not 0 ? Figures.Finite(late, 3) : null,
        Ppm = Figures.Finite(clock.Ppm, 6),
        StandardErrorPpm = Figures.Finite(clock.StandardErrorPpm, 6),
        clock.IsReference,
        TimecodeOffS = clock.Timecode is { } check ? Figures.Seconds(check.Off) : (decimal?)null,
    };

    private static object OfFile(DumpResult result, FileOutcome file) => new
    {
        file.File.Path,
        file.File.Bytes,
        Xxh128 = result.Checksums.GetValueOrDefault(file.File),
        Outcome = file.Outcome.InWords(),
        file.Reason,
        file.Damage,
        Takes = TakesOf.Names(result, file),
        Clip = file.Clip is null ? null : OfClip(file.Clip),
        Placement = file.Placement is null ? null : OfPlacement(file.Placement),
        Timecode = file.Timecode is null ? null : OfTimecode(file.Timecode),
        FrameResidualS = result.FrameResiduals.TryGetValue(file.File, out MediaTime off) ? Figures.Seconds(off) : (decimal?)null,
    };

    private static object OfTimecode(TimecodeCheck check) => new
    {
        Source = check.Clock.InWords(),
        check.Label,
        check.LabelBySound,
        OffS = Figures.Seconds(check.Off),
        DeviceOffS = Figures.Seconds(check.DeviceOff),
        check.Agrees,
        Against = check.Against.File.Path,
        AgainstSource = check.AgainstClock.InWords(),
    };

    private static object OfClip(Clip clip) => new
    {
        Device = clip.Device.Name,
        Kind = clip.Device.Kind.InWords(),
        Role = Words.Role(clip),
        clip.RoleReason,
        Mics = clip.Mics.Select(mic => new { Channel = mic.Channel + 1, Role = mic.Role.InWords() }),
        clip.Media.Format,
        DurationS = Figures.Seconds(clip.Duration),
        OriginInFileS = Figures.Seconds(clip.Media.Origin),
        clip.Media.StartTimecode,
        clip.Media.TimeReference,
        clip.Media.CreatedAt,
        clip.Media.MadeBy,
        clip.Media.Reel,
        Video = clip.Media.Video.Select(MediaJson.Of),
        Audio = clip.Media.Audio.Select(MediaJson.Of),
    };

    private static object OfPlacement(Placement placement) => new
    {
        StartS = Figures.Seconds(placement.CommonRange.Start),
        EndS = Figures.Seconds(placement.CommonRange.End),
        RatePpm = Figures.Finite(placement.Map.Ppm, 6),
        RateStandardErrorPpm = Figures.Finite(placement.RateStandardErrorPpm, 6),
        OffsetStandardErrorS = Figures.Seconds(placement.OffsetStandardError),
        Certainty = Figures.Finite(placement.Certainty, 15),
        Against = placement.Against?.Name,
        placement.Group,
        Continues = placement.Continues?.Path,
        ClockJumps = placement.Map.Jumps.Select(jump => new
        {
            AtInClipS = Figures.Seconds(jump.At),
            LostS = Figures.Seconds(jump.Lost),
        }),
        MicDelays = placement.MicDelays.Select(delay => new
        {
            Channel = delay.Mic.Channel + 1,
            DelayS = Figures.Seconds(delay.Delay),
            delay.Measured,
        }),
        Votes = placement.Votes.Select(vote => new
        {
            AtInClipS = Figures.Seconds(vote.At),
            ResidualS = Figures.Seconds(vote.Residual),
            vote.Counted,
        }),
    };

    private static object OfTake(TakeSound sound) => new
    {
        sound.Take.Name,
        StartS = Figures.Seconds(sound.Take.CommonRange.Start),
        EndS = Figures.Seconds(sound.Take.CommonRange.End),
        Files = sound.Take.Placements.Select(placement => placement.Clip.File.Path),
        Segments = sound.Segments.Select(segment => new
        {
            StartS = Figures.Seconds(segment.CommonRange.Start),
            EndS = Figures.Seconds(segment.CommonRange.End),
            File = segment.Source.Clip.File.Path,
            Channel = segment.Source.Mic.Channel + 1,
            Mic = segment.Source.Mic.Role.InWords(),
            segment.Reason,
            segment.ByHand,
        }),
        Loudness = new
        {
            DialogueFile = sound.Loudness.File is null ? null : DialogueFiles.PathOf(sound.Take),
            File = OfLoudness(sound.Loudness.File),
            Dialogue = OfLoudness(sound.Loudness.Dialogue),
            Mics = sound.Loudness.Mics.Select(mic => new
            {
                Device = mic.Device.Name,
                Channel = mic.Mic.Channel + 1,
                Mic = mic.Mic.Role.InWords(),
                Loudness = OfLoudness(mic.Figures),
                ActiveSpeechDb = Figures.Finite(mic.ActiveSpeechDb, 2),
                MatchDb = Figures.Finite(mic.MatchDb, 2),
                mic.MatchedBy,
            }),
        },
        Faults = sound.Faults.Select(fault => new
        {
            Kind = fault.Kind.InWords(),
            StartS = Figures.Seconds(fault.CommonRange.Start),
            EndS = Figures.Seconds(fault.CommonRange.End),
            File = fault.Source.Clip.File.Path,
            Channel = fault.Source.Mic.Channel + 1,
        }),
        Rooms = sound.Rooms.Select(room => new
        {
            File = room.Source.Clip.File.Path,
            Channel = room.Source.Mic.Channel + 1,
            DirectToReverberantDb = Figures.Finite(room.DirectToReverberantDb, 1),
        }),
        Talk = new
        {
            sound.Talk.CannotTell,
            Stretches = sound.Talk.Stretches.Select(stretch => new
            {
                Who = Words.Of(stretch.Who),
                StartS = Figures.Seconds(stretch.CommonRange.Start),
                EndS = Figures.Seconds(stretch.CommonRange.End),
            }),
            Turns = sound.Talk.Turns.Select(turn => new
            {
                Kind = turn.Kind.InWords(),
                StartS = Figures.Seconds(turn.CommonRange.Start),
                EndS = Figures.Seconds(turn.CommonRange.End),
                FirstWordsS = Figures.Seconds(turn.FirstWords),
                PossibleRestart = turn.MayBeRestart,
                LevelDb = Figures.Finite(TurnLevel.Db(sound, turn), 1),
            }),
        },
        Curves = sound.Curves.Select(curve => new
        {
            File = curve.Source.Clip.File.Path,
            Channel = curve.Source.Mic.Channel + 1,
            StartS = Figures.Seconds(curve.Start),
            StepS = Figures.Seconds(curve.Step),
            LevelDb = curve.LevelDb.Select(db => Figures.Finite(db, 1)),
            NoiseDb = curve.NoiseDb.Select(db => Figures.Finite(db, 1)),
            PeakDb = curve.PeakDb.Select(db => Figures.Finite(db, 1)),
        }),
    };

    private static object? OfLoudness(LoudnessFigures? figures) => figures is null ? null : new
    {
        IntegratedLufs = Figures.Finite(figures.IntegratedLufs, 2),
        RangeLu = Figures.Finite(figures.RangeLu, 2),
        HighestShortTermLufs = Figures.Finite(figures.ShortTermLufs, 2),
        HighestMomentaryLufs = Figures.Finite(figures.MomentaryLufs, 2),
        TruePeakDbtp = Figures.Finite(figures.TruePeakDb, 2),
        GainToTargetDb = figures.GainDb is { } gain ? Figures.Finite(gain, 2) : null,
    };
}
