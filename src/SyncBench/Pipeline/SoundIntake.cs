using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Media.Ltc;
using SyncBench.Selection;
using SyncBench.Selection.Roles;
using SyncBench.Time;

namespace SyncBench.Pipeline;

/// <summary>A clip whose sound has been read, or has none.</summary>
/// <param name="Heard">For alignment; null where there is no sound.</param>
/// <param name="Sound">For the choice of mic; null where there is no sound.</param>
/// <param name="Problem">What broke off or was damaged on the way; null where all went well.</param>
internal sealed record ReadClip(Clip Clip, HeardClip? Heard, ClipSound? Sound, string? Problem);

/// <summary>Reads every clip's sound once, several files at a time, and feeds all that listen.</summary>
internal sealed class SoundIntake(string scratchFolder)
{
    /// <returns>In the order of <paramref name="clips"/>.</returns>
    internal async Task<ImmutableArray<ReadClip>> ReadAsync(
        ImmutableArray<Clip> clips, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        double all = clips.Sum(clip => clip.Media.Audio.IsEmpty ? 0 : clip.Duration.ToSeconds());
        double[] heard = new double[clips.Length];
        var read = new ReadClip[clips.Length];
        var options = new ParallelOptions
        {
            CancellationToken = cancellation,
            MaxDegreeOfParallelism = Environment.ProcessorCount,
        };

        // What takes longest first, so that no core is left with it at the end.
        IEnumerable<int> order = Enumerable.Range(0, clips.Length)
            .OrderByDescending(i => clips[i].Duration.ToSeconds() * clips[i].Media.Channels);
        await Parallel.ForEachAsync(order, options, async (i, stop) =>
        {
            var each = new DirectProgress<MediaTime>(time =>
            {
                heard[i] = time.ToSeconds();
                progress?.Report(new StageProgress(Stage.ReadSound, clips[i].File.Path, Math.Min(1, heard.Sum() / all)));
            });
            read[i] = await ReadOneAsync(clips[i], each, stop);
        });
        ImmutableArray<Clip> told = RolesBySound.Tell([.. read.Select(clip => (clip.Clip, clip.Sound))]);
        return [.. read.Zip(told, (clip, by) => clip with { Clip = by, Heard = clip.Heard is null ? null : clip.Heard with { Clip = by } })];
    }

    private async Task<ReadClip> ReadOneAsync(Clip clip, IProgress<MediaTime> progress, CancellationToken cancellation)
    {
        if (clip.Media.Audio.IsEmpty)
        {
            return new ReadClip(clip, null, null, null);
        }

        int channels = clip.Media.Channels;
        var listeners = new SelectionListeners(channels);
        var loudness = new ClipLoudness(channels);
        var store = new SoundStore(channels, scratchFolder);
        var timecode = new LtcListener(channels);
        SoundReading reading = await SoundReader.ReadAsync(clip.Media, [listeners, loudness, store, timecode], progress, cancellation);
        LtcTrack[] heard = [.. Enumerable.Range(0, channels).Select(timecode.Of).OfType<LtcTrack>()];
        clip = WithTimecode(clip, heard);
        ClipSound sound = listeners.Sound;
        return new ReadClip(
            clip,
            new HeardClip(clip, sound.Bands, store, StartClock.Of(clip.Media, heard)),
            sound with { Loudness = loudness.Results, Samples = store },
            reading.Problem);
    }

    /// <summary>A channel that turns out to carry timecode is no mic, whatever name and place in the file say.</summary>
    private static Clip WithTimecode(Clip clip, LtcTrack[] heard) => clip with
    {
        Mics = [.. clip.Mics.Select(mic => heard.Any(track => track.Channel == mic.Channel && track.FillsTheChannel)
            ? mic with { Role = MicRole.Timecode }
            : mic)],
    };
}
