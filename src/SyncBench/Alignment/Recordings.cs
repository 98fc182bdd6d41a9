using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>Which files are one recording that a device split: back to back, to the sample or frame.</summary>
/// <param name="Previous">By clip: the clip that it goes on from; −1 where it begins a recording.</param>
/// <param name="StartSeconds">By clip: its time zero on the clock of its recording's first clip.</param>
internal sealed record Recordings(int[] Previous, double[] StartSeconds)
{
    /// <summary>Sound shows two ends to lie together no better than this; no device stops and starts again so soon.</summary>
    private const double Together = 0.001, FarthestTogether = 0.005;

    /// <summary>By clip, the first clip of its recording.</summary>
    internal int FirstOf(int clip)
    {
        while (Previous[clip] >= 0)
        {
            clip = Previous[clip];
        }

        return clip;
    }

    /// <summary>Every clip a recording of its own.</summary>
    internal static Recordings Single(int clips) => new([.. Enumerable.Repeat(-1, clips)], new double[clips]);

    /// <summary>
    /// Joins clips of one device where sound shows the end of one and the start of the next to lie together, or where the
    /// files say so themselves, by a label that counts on without a gap, and sound does not deny it.
    /// </summary>
    /// <param name="solution">Of single clips.</param>
    internal static Recordings Join(IReadOnlyList<HeardClip> clips, IReadOnlyList<ClipTracks?> tracks, int[] deviceOfClip, Solution solution)
    {
        Recordings joined = Single(clips.Count);
        bool[] isFollowed = new bool[clips.Count];
        IEnumerable<(int Before, int After, double Off)> neighbours =
            from before in Enumerable.Range(0, clips.Count)
            from after in Enumerable.Range(0, clips.Count)
            where before != after && deviceOfClip[before] == deviceOfClip[after] && clips[before].Clip.Media.IsAlike(clips[after].Clip.Media)
            let off = Off(before, after, clips, tracks, deviceOfClip[before], solution)
            where off is not null
            orderby off
            select (before, after, off.Value);
        foreach ((int before, int after, _) in neighbours)
        {
            if (!isFollowed[before] && joined.Previous[after] < 0 && joined.FirstOf(before) != after)
            {
                (isFollowed[before], joined.Previous[after]) = (true, before);
            }
        }

        for (int clip = 0; clip < clips.Count; clip++)
        {
            for (int after = clip; joined.Previous[after] >= 0; after = joined.Previous[after])
            {
                int before = joined.Previous[after];
                joined.StartSeconds[clip] += Length(before, clips, tracks) - Running(clips[after].Clip).Start.ToSeconds();
            }
        }

        return joined;
    }

    /// <summary>
    /// The part of a clip over which its device counted on: from first to last frame for a camera, whose sound may be cut
    /// into blocks that end a little elsewhere.
    /// </summary>
    internal static TimeRange Running(Clip clip) => clip.Media.Video is [{ Duration: var duration } picture, ..] && duration > MediaTime.Zero
        ? new TimeRange(picture.Start - clip.Media.Origin, duration)
        : new TimeRange(MediaTime.Zero, clip.Duration);

    /// <summary>How far end and start are apart, by what is known best; null where they do not belong together.</summary>
    private static double? Off(
        int before, int after, IReadOnlyList<HeardClip> clips, IReadOnlyList<ClipTracks?> tracks, int device, Solution solution)
    {
        bool isStated = CountsOn(clips[before].Clip, clips[after].Clip);
        bool isHeard = solution.Group[before] >= 0 && solution.Group[before] == solution.Group[after];
        if (!isHeard)
        {
            return isStated && (solution.Group[before] < 0 || solution.Group[after] < 0) ? FarthestTogether : null;
        }

        double off = Math.Abs(
            solution.CommonSeconds(after, device, Running(clips[after].Clip).Start.ToSeconds())
            - solution.CommonSeconds(before, device, Length(before, clips, tracks)));
        double sigma = Math.Sqrt(Square(solution.OffsetErrorSeconds[before]) + Square(solution.OffsetErrorSeconds[after]));
        double reach = Math.Max(Together, 3 * sigma);
        return off <= (isStated ? Math.Max(reach, FarthestTogether) : Math.Min(reach, FarthestTogether)) ? off : null;
    }

    /// <summary>To the end of what the device counted, with what its clock jumped over.</summary>
    private static double Length(int clip, IReadOnlyList<HeardClip> clips, IReadOnlyList<ClipTracks?> tracks)
    {
        double end = Running(clips[clip].Clip).End.ToSeconds();
        return tracks[clip]?.Clearest.WholeSeconds(end) ?? end;
    }

    private static bool CountsOn(Clip before, Clip after)
    {
        if (before.Media.TimeReference is { } first && after.Media.TimeReference is { } second && before.Media.Audio is [{ SampleRateHz: var hz }, ..])
        {
            return second - first == before.Duration.ToNearestUnit(new Rate(hz));
        }

        return before.Media is { StartTimecode: { } label, Video: [var picture, ..] } && after.Media.StartTimecode is { } next
            && TimecodeFormat.Standard(picture.FrameRate) is { } rate
            && TimecodeFormat.Of(rate, label.Contains(';')) is var format
            && format.TryParse(label, out long frame, out _) && format.TryParse(next, out long following, out _)
            && following - frame == Running(before).Duration.ToNearestUnit(rate);
    }

    private static double Square(double x) => x * x;
}
