using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>Time from left to right of a plot, with ticks at round times.</summary>
/// <param name="range">What the axis shows; never empty.</param>
/// <param name="left">Where the range begins, in units of the drawing.</param>
/// <param name="right">Where it ends.</param>
internal sealed class TimeAxis(TimeRange range, double left, double right)
{
    /// <summary>A label "0:00:00" is about 45 units wide.</summary>
    private const double ClosestTicks = 84;

    private static readonly int[] RoundSeconds =
        [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 21600, 43200, 86400];

    internal double Left => left;

    internal double Right => right;

    internal TimeRange Range => range;

    internal double At(MediaTime time) =>
        left + ((time - range.Start).ToSeconds() / range.Duration.ToSeconds() * (right - left));

    /// <summary>The same, kept inside the plot.</summary>
    internal double Within(MediaTime time) => Math.Clamp(At(time), left, right);

    /// <summary>Round times inside the range, counted from <paramref name="zero"/>.</summary>
    internal IEnumerable<MediaTime> Ticks(MediaTime zero)
    {
        double seconds = range.Duration.ToSeconds();
        int most = Math.Max(1, (int)((right - left) / ClosestTicks));
        long step = RoundSeconds.FirstOrDefault(round => seconds / round <= most);
        step = step > 0 ? step : (long)Math.Ceiling(seconds / most / 86400) * 86400;
        var every = new Rate(1);
        long first = (long)Math.Ceiling((range.Start - zero).ToSeconds() / step) * step;
        for (MediaTime tick = zero + MediaTime.FromUnits(first, every); tick <= range.End; tick += MediaTime.FromUnits(step, every))
        {
            yield return tick;
        }
    }

    /// <summary>Grid lines from <paramref name="top"/> to <paramref name="bottom"/> with h:mm:ss below.</summary>
    internal HtmlText Below(double top, double bottom) => $"""
        {Ticks(MediaTime.Zero).Select(tick => GridLine(tick, top, bottom))}
        <line class="axis" x1="{left:0.#}" x2="{right:0.#}" y1="{bottom:0.#}" y2="{bottom:0.#}"/>
        """;

    /// <summary>Times from the start of the range, above <paramref name="top"/>.</summary>
    internal HtmlText Above(double top) => Above(top, range.Start, tick => Figures.Clock(tick - range.Start));

    /// <summary>Ticks at round times counted from <paramref name="zero"/>, labelled as asked, above <paramref name="top"/>.</summary>
    internal HtmlText Above(double top, MediaTime zero, Func<MediaTime, string> label) =>
        $"{Ticks(zero).Select(tick => Mark(tick, top, label(tick)))}";

    private HtmlText GridLine(MediaTime tick, double top, double bottom) => $"""
        <line class="grid" x1="{At(tick):0.#}" x2="{At(tick):0.#}" y1="{top:0.#}" y2="{bottom:0.#}"/>
        <text class="tick" x="{At(tick):0.#}" y="{bottom + 16:0.#}">{Figures.Clock(tick)}</text>

        """;

    private HtmlText Mark(MediaTime tick, double top, string label) => $"""
        <line class="axis" x1="{At(tick):0.#}" x2="{At(tick):0.#}" y1="{top - 4:0.#}" y2="{top:0.#}"/>
        <text class="tick" x="{At(tick):0.#}" y="{top - 7:0.#}">{label}</text>

        """;
}
