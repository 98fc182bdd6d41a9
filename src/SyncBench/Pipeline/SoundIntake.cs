using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
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
internal sealed class SoundIntake(string scratchFolder, KeptFolder? kept)
{
    /// <returns>In the order of <paramref name="clips"/>; the caller disposes of it.</returns>
    internal async Task<ReadSound> ReadAsync(
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
        try
        {
            await Parallel.ForEachAsync(order, options, async (i, stop) =>
            {
                var each = new DirectProgress<MediaTime>(time =>
                {
                    heard[i] = time.ToSeconds();
                    progress?.Report(new StageProgress(Stage.ReadSound, clips[i].File.Path, Math.Min(1, heard.Sum() / all)));
                });
                read[i] = await ReadOneAsync(clips[i], each, stop);
            });
        }
        catch
        {
            // What is kept stays open to nobody else, and the next run of this dump wants it.
            Array.ForEach(read, clip => clip?.Heard?.Sound.Dispose());
            throw;
        }

        ImmutableArray<Clip> told = RolesBySound.Tell([.. read.Select(clip => (clip.Clip, clip.Sound))]);
        return new ReadSound(
            [.. read.Zip(told.Select(Settled), (clip, by) => clip with { Clip = by, Heard = clip.Heard is null ? null : clip.Heard with { Clip = by } })]);
    }

    private async Task<ReadClip> ReadOneAsync(Clip clip, IProgress<MediaTime> progress, CancellationToken cancellation)
    {
        if (clip.Media.Audio.IsEmpty)
        {
            return new ReadClip(clip, null, null, null);
        }

        HeardSound heard = await HearAsync(clip.Media, progress, cancellation);
        clip = WithTimecode(clip, heard.TimecodeChannels);
        return new ReadClip(
            clip, new HeardClip(clip, heard.Sound.Bands, heard.Samples, heard.Timecode), heard.Sound, heard.Problem);
    }

    private async Task<HeardSound> HearAsync(MediaInfo media, IProgress<MediaTime> progress, CancellationToken cancellation)
    {
        if (kept is null)
        {
            return await HearAsync(media, new SoundStore(media.Channels, scratchFolder), null, progress, cancellation);
        }

        string path = kept.PathOf(media.File);
        if (kept.Find(path, KeptReadings.Sound) is { } before)
        {
            progress.Report(media.Duration);
            return before;
        }

        return await HearAsync(media, SoundStore.Keep(media.Channels, path), path, progress, cancellation);
    }

    /// <param name="keptAs">Null where it is not to be kept. What was not read whole is not: it may be the next time.</param>
    private static async Task<HeardSound> HearAsync(
        MediaInfo media, SoundStore samples, string? keptAs, IProgress<MediaTime> progress, CancellationToken cancellation)
    {
        try
        {
            HeardSound heard = await HeardSound.ReadAsync(media, samples, progress, cancellation);
            if (keptAs is not null && heard.Problem is null)
            {
                KeptReadings.Keep(keptAs, heard);
            }

            return heard;
        }
        catch
        {
            samples.Dispose();
            throw;
        }
    }

    /// <summary>From here on a mic is what it is, whatever told so: the same mic named in one file and not in the next is one track.</summary>
    private static Clip Settled(Clip clip) => clip with { Mics = [.. clip.Mics.Select(mic => mic with { IsAssumed = false })] };

    /// <summary>A channel that turns out to carry timecode is no mic, whatever name and place in the file say.</summary>
    private static Clip WithTimecode(Clip clip, ImmutableArray<int> channels) => clip with
    {
        Mics = [.. clip.Mics.Select(mic => channels.Contains(mic.Channel)
            ? mic with { Role = MicRole.Timecode }
            : mic)],
    };
}
