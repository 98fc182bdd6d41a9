using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>How far each vote lies from a device's line of offset and rate, along a take.</summary>
internal static class DriftPlot
{
    private const int MostVotes = 1500;
    private const double LagTop = 14, LagHeight = 90, LagBottom = LagTop + LagHeight;
    private const double Top = LagBottom + 22, Height = 130, Bottom = Top + Height;

    /// <param name="clips">Of one device, all in the take.</param>
    internal static HtmlText Of(Take take, DeviceClock clock, IReadOnlyList<Placement> clips, string id)
    {
        (MediaTime At, double Ms, bool Counted)[] votes = [.. clips
            .SelectMany(clip => clip.Votes.Select(vote => (At: clip.Map.ToCommon(vote.At), Ms: vote.Residual.ToMilliseconds(), vote.Counted)))
            .Where(vote => take.CommonRange.Contains(vote.At))
            .OrderBy(vote => vote.At)];
        if (votes.Length == 0)
        {
            return HtmlText.Nothing;
        }

        int counted = votes.Count(vote => vote.Counted);
        double limit = Limit([.. votes.Where(vote => vote.Counted).Select(vote => Math.Abs(vote.Ms))]);
        int beyond = votes.Count(vote => Math.Abs(vote.Ms) > limit);
        int every = ((votes.Length - 1) / MostVotes) + 1;
        var axis = new TimeAxis(take.CommonRange, Plot.Left, Plot.Right);
        HtmlText drawing = $"""
            {Lag(take, clock, [.. votes.Where((vote, i) => vote.Counted && i % every == 0).Select(vote => (vote.At, vote.Ms))], axis)}
            {axis.Below(Top, Bottom)}
            {Plot.LaneName("less its line", Y(limit / 2, limit))}
            {new[] { -limit, 0, limit }.Select(ms => Level(ms, limit))}
            <line class="fit" x1="{Plot.Left:0.#}" x2="{Plot.Right:0.#}" y1="{Y(0, limit):0.#}" y2="{Y(0, limit):0.#}"/>
            {votes.Where((_, i) => i % every == 0).Select(vote => Mark(axis.At(vote.At), vote.Ms, vote.Counted, limit))}
            """;
        return Plot.Figure(
            id, $"{clock.Device.Name} against its line in {take.Name}", Description(clock, votes.Length, counted, limit),
            Bottom + 26, drawing, Caption(take, clock, votes.Length, counted, beyond, every));
    }

    /// <summary>Milliseconds above and below the line that the plot shows: all that counted, with room, at least 0.2.</summary>
    private static double Limit(double[] counted)
    {
        double need = Math.Max(0.2, counted.DefaultIfEmpty(1).Max() * 1.25);
        double power = Math.Pow(10, Math.Floor(Math.Log10(need)));
        return new[] { 1.0, 2, 5, 10 }.Select(round => round * power).First(round => round >= need * 0.999);
    }

    /// <summary>How far the device has run away from the reference since the take began, if nothing were corrected.</summary>
    private static HtmlText Lag(Take take, DeviceClock clock, (MediaTime At, double Ms)[] counted, TimeAxis axis)
    {
        double end = DriftMs(take, clock), least = Math.Min(0, end), span = Math.Max(0.2, Math.Abs(end)) * 1.2;
        double middle = (least + Math.Max(0, end)) / 2;
        double Height(double ms) => LagTop + (LagHeight / 2) - (Math.Clamp((ms - middle) / span, -0.5, 0.5) * LagHeight);
        double Line(MediaTime at) => (at - take.CommonRange.Start).ToMilliseconds() * clock.Ppm * 1e-6;
        return $"""
            {Plot.LaneName("lag", LagTop + (LagHeight / 2))}
            {new[] { 0, end }.Distinct().Where(ms => ms == 0 || Math.Abs(ms) > span / 5).Select(ms => (HtmlText)$"<line class=\"grid\" x1=\"{Plot.Left:0.#}\" x2=\"{Plot.Right:0.#}\" y1=\"{Height(ms):0.#}\" y2=\"{Height(ms):0.#}\"/>\n<text class=\"lane small\" x=\"{Plot.Left - 10:0.#}\" y=\"{Height(ms) + 4:0.#}\">{Figures.Signed(ms, 1)} ms</text>\n")}
            <line class="fit" x1="{Plot.Left:0.#}" x2="{Plot.Right:0.#}" y1="{Height(0):0.#}" y2="{Height(end):0.#}"/>
            <path class="lag-votes" d="{string.Concat(counted.Select(vote => FormattableString.Invariant($"M{axis.At(vote.At):0.#} {Height(Line(vote.At) + vote.Ms):0.#}h0")))}"/>
            """;
    }

    private static double Y(double ms, double limit) => Top + ((1 - (Math.Clamp(ms / limit, -1, 1))) / 2 * Height);

    private static HtmlText Level(double ms, double limit) => $"""
        <line class="grid" x1="{Plot.Left:0.#}" x2="{Plot.Right:0.#}" y1="{Y(ms, limit):0.#}" y2="{Y(ms, limit):0.#}"/>
        <text class="lane small" x="{Plot.Left - 10:0.#}" y="{Y(ms, limit) + 4:0.#}">{Figures.Signed(ms, limit < 1 ? 1 : 0)} ms</text>

        """;

    /// <summary>A disc counted; a cross did not; an arrow head at the edge lies beyond it.</summary>
    private static HtmlText Mark(double x, double ms, bool counted, double limit)
    {
        double y = Y(ms, limit);
        return Math.Abs(ms) > limit ? $"<path class=\"beyond\" d=\"M{x - 4:0.#} {(ms > 0 ? y + 6 : y - 6):0.#}h8L{x:0.#} {y:0.#}z\"/>\n"
            : counted ? (HtmlText)$"<circle class=\"vote\" cx=\"{x:0.#}\" cy=\"{y:0.#}\" r=\"2.6\"/>\n"
            : (HtmlText)$"<path class=\"passed-over\" d=\"M{x - 3.5:0.#} {y - 3.5:0.#}l7 7m0 -7l-7 7\"/>\n";
    }

    private static string Description(DeviceClock clock, int votes, int counted, double limit) => FormattableString.Invariant(
        $"{counted} of {votes} windows carry the line; they lie within {limit:0.#} ms of it. Clock {Figures.Signed(clock.Ppm, 2)} ppm, standard error {Figures.Magnitude(clock.StandardErrorPpm, 2)} ppm.");

    private static HtmlText Caption(Take take, DeviceClock clock, int votes, int counted, int beyond, int every) => $"""
        <b>{clock.Device.Name}</b>: {Figures.Signed(clock.Ppm, 2)} ppm, standard error {Figures.Magnitude(clock.StandardErrorPpm, 2)} ppm.
        Without correction it would be {Figures.Magnitude(DriftMs(take, clock), 1)} ms out at the end of this take.
        Above, the lag since the take began, as measured in windows of sound, and the line fitted to it; below, what is left when the line is taken off. Each mark is one window, above the line where this device hears later than its line says:
        <span class="key"><svg class="swatch small" aria-hidden="true" viewBox="0 0 14 14"><title>disc</title><circle class="vote" cx="7" cy="7" r="4"/></svg> {Words.Count(counted, "window")} of {votes} carried the line,</span>
        <span class="key"><svg class="swatch small" aria-hidden="true" viewBox="0 0 14 14"><title>cross</title><path class="passed-over" d="M2 2l10 10M12 2L2 12"/></svg> did not (another talker, a reflection, noise),</span>
        <span class="key"><svg class="swatch small" aria-hidden="true" viewBox="0 0 14 14"><title>arrow head</title><path class="beyond" d="M2 12h10L7 3z"/></svg> {Words.Count(beyond, "lies", "lie")} beyond the plot.</span>{(every > 1 ? $" One in {every} is drawn." : string.Empty)}
        """;

    private static double DriftMs(Take take, DeviceClock clock) => take.CommonRange.Duration.ToMilliseconds() * clock.Ppm * 1e-6;
}
