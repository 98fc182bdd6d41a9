using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>Where a clip without sound lies by its device's own clock: good enough for a map, never for a cut.</summary>
/// <param name="CommonStart">On the common clock.</param>
/// <param name="By">"its timecode", "the date of its file".</param>
internal sealed record OwnPlace(MediaTime CommonStart, string By)
{
    /// <summary>By the placed clip of the same device whose clock reads nearest; null where no clock of both can be read.</summary>
    internal static OwnPlace? Of(Clip clip, IEnumerable<Placement> placed)
    {
        Placement[] siblings = [.. placed.Where(placement => placement.Clip.Device == clip.Device)];
        return Told(clip, siblings, Timecode, "its timecode") ?? Told(clip, siblings, Date, "the date of its file");
    }

    /// <summary>"about 0:12:03 by its timecode".</summary>
    internal string InWords() => $"about {Figures.Clock(CommonStart)} on the common clock by {By}";

    private static OwnPlace? Told(Clip clip, Placement[] siblings, Func<MediaInfo, MediaTime?> clock, string name)
    {
        if (clock(clip.Media) is not { } mine)
        {
            return null;
        }

        var told = siblings.Select(sibling => (sibling, Clock: clock(sibling.Clip.Media))).Where(sibling => sibling.Clock is not null).ToArray();
        if (told.Length == 0)
        {
            return null;
        }

        (Placement nearest, MediaTime? reads) = told.MinBy(sibling => MediaTime.Abs(mine - sibling.Clock!.Value));
        return new OwnPlace(nearest.CommonRange.Start + (mine - reads!.Value), name);
    }

    private static MediaTime? Timecode(MediaInfo media) => StartClock.Of(media, [])?.SinceMidnight;

    private static MediaTime? Date(MediaInfo media) => media.CreatedAt is { } made
        ? MediaTime.FromUnits(made.ToUnixTimeMilliseconds(), new Rate(1000))
        : null;
}
