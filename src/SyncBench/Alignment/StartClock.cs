using System.Globalization;
using SyncBench.Media;
using SyncBench.Media.Ltc;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>Where a clip's timecode comes from, the most trusted first.</summary>
public enum TimecodeSource
{
    /// <summary>Linear timecode on a channel of sound: a generator's own, heard with the sound.</summary>
    Ltc,

    /// <summary>The timecode track of a movie.</summary>
    Track,

    /// <summary>TimeReference of a broadcast wave file.</summary>
    BroadcastWave,

    /// <summary>The time stamp of the iXML speed block; where both are there, TimeReference counts (iXML usage notes).</summary>
    Notes,
}

/// <summary>When a clip began, by the timecode that its device wrote.</summary>
/// <param name="Channel">0-based channel of linear timecode; null elsewhere.</param>
/// <param name="SinceMidnight">Real time from label 00:00:00:00 to clip time zero, by the counting device's clock.</param>
/// <param name="FrameRate">At which the labels count; null where samples are counted and nothing tells of frames.</param>
/// <param name="DropFrame">Whether labels are counted with drop-frame.</param>
public sealed record StartClock(
    TimecodeSource Source, int? Channel, MediaTime SinceMidnight, Rate? FrameRate, bool DropFrame)
{
    /// <summary>The clip's best source of timecode; null where it has none.</summary>
    /// <param name="ltc">What was heard on its channels.</param>
    public static StartClock? Of(MediaInfo media, IEnumerable<LtcTrack> ltc) =>
        ltc.OrderByDescending(track => track.Share).Select(OfLtc).FirstOrDefault(clock => clock is not null)
        ?? OfTrack(media)
        ?? OfBroadcastWave(media)
        ?? OfNotes(media);

    /// <summary>"LTC on channel 2", "timecode track".</summary>
    public string InWords() => Source switch
    {
        TimecodeSource.Ltc => string.Create(CultureInfo.InvariantCulture, $"LTC on channel {Channel + 1}"),
        TimecodeSource.Track => "timecode track",
        TimecodeSource.BroadcastWave => "broadcast wave time reference",
        _ => "iXML time stamp",
    };

    /// <summary>Whether the stamp was counted in samples by a recorder whose timecode runs at a 1000/1001 rate.</summary>
    internal bool MayCountAtWholeRate(Rate? otherRate) =>
        Source is TimecodeSource.BroadcastWave or TimecodeSource.Notes && (FrameRate ?? otherRate) is { Denominator: 1001 };

    private static StartClock? OfLtc(LtcTrack track)
    {
        LtcRun? run = track.Runs.Where(run => !run.First.Reversed).MaxBy(run => run.Words);
        return run?.First.CountedBy(run.Format) is { } frame
            ? new StartClock(
                TimecodeSource.Ltc, track.Channel,
                MediaTime.FromUnits(frame, run.FrameRate) - MediaTime.FromSeconds(run.First.StartSample / track.SampleRateHz),
                run.FrameRate, run.Format.DropFrame)
            : null;
    }

    private static StartClock? OfTrack(MediaInfo media)
    {
        if (media.StartTimecode is not { Length: 11 } label || media.Video.IsEmpty
            || TimecodeFormat.Standard(media.Video[0].FrameRate) is not { } rate)
        {
            return null;
        }

        var format = TimecodeFormat.Of(rate, label[8] == ';');
        return format.TryParse(label, out long frame, out _)
            ? new StartClock(
                TimecodeSource.Track, null,
                MediaTime.FromUnits(frame, rate) - (media.Video[0].Start - media.Origin), rate, format.DropFrame)
            : null;
    }

    private static StartClock? OfBroadcastWave(MediaInfo media) =>
        media is { TimeReference: { } samples, Audio: [var audio, ..] }
            ? OfSamples(TimecodeSource.BroadcastWave, media, samples, audio.SampleRateHz)
            : null;

    private static StartClock? OfNotes(MediaInfo media) =>
        media is { Notes.Speed: { SamplesSinceMidnight: { } samples } speed, Audio: [var audio, ..] }
            ? OfSamples(
                TimecodeSource.Notes, media, samples,
                speed.TimestampSampleRateHz ?? speed.FileSampleRateHz ?? audio.SampleRateHz)
            : null;

    private static StartClock OfSamples(TimecodeSource source, MediaInfo media, long samples, int rateHz) => new(
        source, null,
        MediaTime.FromUnits(samples, new Rate(rateHz)) - (media.Audio[0].Start - media.Origin),
        media.Notes?.Speed?.TimecodeRate, media.Notes?.Speed?.DropFrame ?? false);
}
