using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>Finds the takes: stretches in which at least one camera and one other device roll together.</summary>
public static class TakeBuilder
{
    /// <summary>A camera that stops and starts again within this is still in the same take.</summary>
    private static readonly MediaTime ShortestBreak = MediaTime.FromUnits(2, new Rate(1));

    /// <param name="placed">All placed clips.</param>
    /// <returns>In order of the common clock.</returns>
    public static ImmutableArray<Take> Build(IReadOnlyList<Placement> placed)
    {
        var ranges = new List<TimeRange>();
        foreach (TimeRange rolling in Rolling(placed))
        {
            if (ranges.Count > 0 && rolling.Start - ranges[^1].End < ShortestBreak)
            {
                ranges[^1] = TimeRange.Between(ranges[^1].Start, rolling.End);
            }
            else
            {
                ranges.Add(rolling);
            }
        }

        return
        [
            .. ranges.Select((range, i) => new Take(
                string.Create(CultureInfo.InvariantCulture, $"take {i + 1}"), range, Overlapping(placed, range))),
        ];
    }

    private static ImmutableArray<Placement> Overlapping(IReadOnlyList<Placement> placed, TimeRange range) =>
    [
        .. placed
            .Where(placement => !placement.CommonRange.Intersect(range).IsEmpty)
            .OrderBy(placement => placement.CommonRange.Start)
            .ThenBy(placement => placement.Clip.File.Path, StringComparer.Ordinal),
    ];

    private static IEnumerable<TimeRange> Rolling(IReadOnlyList<Placement> placed)
    {
        MediaTime[] edges =
        [
            .. placed.SelectMany(p => new[] { p.CommonRange.Start, p.CommonRange.End }).Distinct().Order(),
        ];
        for (int i = 0; i + 1 < edges.Length; i++)
        {
            Device[] rolling = [.. placed.Where(p => p.CommonRange.Contains(edges[i])).Select(p => p.Clip.Device).Distinct()];
            if (rolling.Length >= 2 && rolling.Any(device => device.Kind == DeviceKind.Camera))
            {
                yield return TimeRange.Between(edges[i], edges[i + 1]);
            }
        }
    }
}
