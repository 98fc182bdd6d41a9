using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Timeline;

/// <summary>
/// Chooses where the timeline's frames begin. Cameras are not started on each other's frames, so whatever lies on the grid
/// of one lies between the frames of another: the phase is taken at which the worst frame of all is nearest its place,
/// then the worst of the next clip, and so on.
/// </summary>
internal static class GridPhase
{
    /// <summary>Of a frame: 0.2 ms at 25.</summary>
    private const int Steps = 200;

    /// <summary>Differences below do not count, so that a grid on which a clip sits exactly is kept.</summary>
    private const double CountsMilliseconds = 0.2;

    /// <param name="pictures">Clips with picture, the first camera's first clip before all others.</param>
    /// <param name="earliest">Common time that the grid has to reach.</param>
    internal static FrameGrid Choose(Placement[] pictures, Rate rate, MediaTime earliest)
    {
        if (pictures.Length == 0)
        {
            return new FrameGrid(rate, earliest);
        }

        MediaTime first = pictures[0].Map.ToCommon(ClipRanges.Picture(pictures[0].Clip, ClipRanges.FrameRate(pictures[0].Clip, rate)).Start);
        FrameGrid best = FrameGrid.Through(first, rate, earliest);
        double[] least = Worst(pictures, best);
        for (int step = 1; step < Steps && least[0] > CountsMilliseconds; step++)
        {
            MediaTime shift = MediaTime.FromSeconds(step / (Steps * rate.PerSecond));
            FrameGrid grid = FrameGrid.Through(first + shift, rate, earliest);
            double[] worst = Worst(pictures, grid);
            if (IsLess(worst, least))
            {
                (best, least) = (grid, worst);
            }
        }

        return best;
    }

    /// <summary>In milliseconds, the largest first.</summary>
    private static double[] Worst(Placement[] pictures, FrameGrid grid) =>
    [
        .. pictures.Select(picture => PicturePieces.Worst(picture, grid).ToMilliseconds()).OrderDescending(),
    ];

    private static bool IsLess(double[] worst, double[] least)
    {
        int differs = Enumerable.Range(0, worst.Length).FirstOrDefault(i => Math.Abs(worst[i] - least[i]) > CountsMilliseconds / 4, -1);
        return differs >= 0 && worst[differs] < least[differs];
    }
}
