using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Signal.Loudness;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>Writes a rendered dialogue: whole, and what surrounds each change of mic, to listen to.</summary>
internal static class DialogueFiles
{
    private const int AroundChange = 3 * 48_000;

    private static readonly LoudnessFigures NotMeasured = new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>"dialogue/take-1.wav".</summary>
    internal static string PathOf(Take take) => $"dialogue/{NameOf(take)}.wav";

    internal static void Write(Stream output, DialogueSound sound, string dump, DateTimeOffset madeAt) => DialogueWave.Write(
        output, Extension(sound, $"Dialogue of {sound.Take.Name} of {dump}", madeAt, 0, sound.Loudness),
        sound.Track, 0, sound.Track.Samples, sound.Gain);

    /// <summary>Three seconds to either side of each change; changes that come sooner after one another share a file.</summary>
    /// <returns>"dialogue/changes/take-1-0-12-03.wav", named after the first change's time in the take, and its samples.</returns>
    internal static IEnumerable<(string Path, long First, long Count)> AroundChanges(DialogueSound sound)
    {
        long? first = null;
        long end = 0, named = 0;
        foreach (DialogueChange change in sound.Changes)
        {
            if (first is { } open && change.First - AroundChange > end)
            {
                yield return Excerpt(open);
                first = null;
            }

            named = first is null ? change.First : named;
            first ??= Math.Max(0, change.First - AroundChange);
            end = Math.Min(sound.Track.Samples, change.First + change.Samples + AroundChange);
        }

        if (first is { } last)
        {
            yield return Excerpt(last);
        }

        (string, long, long) Excerpt(long from) => ($"dialogue/changes/{NameOf(sound.Take)}-{Label(named)}.wav", from, end - from);
    }

    internal static void WriteExcerpt(
        Stream output, DialogueSound sound, long first, long count, string dump, DateTimeOffset madeAt) => DialogueWave.Write(
        output, Extension(sound, $"Change of mic in {sound.Take.Name} of {dump}", madeAt, first, NotMeasured),
        sound.Track, first, count, sound.Gain);

    /// <summary>"mics/take-1.wav".</summary>
    internal static string MicsPathOf(Take take) => $"mics/{NameOf(take)}.wav";

    /// <summary>"dialogue/take-1.vtt".</summary>
    internal static string MarkersPathOf(Take take) => $"dialogue/{NameOf(take)}.vtt";

    /// <summary>All mics of a take, each on a channel, as they were recorded but for their clocks.</summary>
    internal static void WriteMics(
        Stream output, IReadOnlyList<(string Name, DialogueSound Sound)> mics, TimelineModel timeline, DateTimeOffset madeAt)
    {
        DialogueSound first = mics[0].Sound;
        var extension = new BroadcastExtension(
            $"Mics of {first.Take.Name} of {timeline.Name}", "SyncBench", madeAt, first.TimeReference, NotMeasured,
            "A=PCM,F=48000,W=24,T=SyncBench; resampled to reference clock; no gain; no limiter; no dither\r\n");
        byte[] notes = MicNotes.ToBytes(
            timeline.Name, first.Take.Name.Split(' ')[^1], timeline, first.TimeReference, [.. mics.Select(mic => mic.Name)]);
        DialogueWave.Write(output, extension, notes, [.. mics.Select(mic => mic.Sound.Track)]);
    }

    private static BroadcastExtension Extension(
        DialogueSound sound, string description, DateTimeOffset madeAt, long first, LoudnessFigures loudness) =>
        new(description, "SyncBench", madeAt, sound.TimeReference + first, loudness, History(sound));

    /// <summary>"take-1".</summary>
    private static string NameOf(Take take) => take.Name.Replace(' ', '-');

    private static string History(DialogueSound sound)
    {
        string gain = sound.Gain < 1
            ? string.Create(CultureInfo.InvariantCulture, $"whole file lowered {-20 * Math.Log10(sound.Gain):0.00} dB for true peak")
            : "no gain";
        return $"A=PCM,F=48000,W=24,M=mono,T=SyncBench; resampled to reference clock; mics level-matched, crossfaded; {gain}; no limiter; no dither\r\n";
    }

    /// <summary>"0-12-03": hours, minutes, seconds from the start of the take.</summary>
    private static string Label(long sample)
    {
        long seconds = MediaTime.FromUnits(sample, Rate.Hz48000).ToNearestUnit(new Rate(1));
        return string.Create(CultureInfo.InvariantCulture, $"{seconds / 3600}-{seconds / 60 % 60:00}-{seconds % 60:00}");
    }
}
