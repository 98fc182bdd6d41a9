using System.Globalization;
using SyncBench.Selection.Speakers;

namespace SyncBench.Reporting;

/// <summary>Two lanes of a plot: when was answered, and when asked. The numbers are those of the table.</summary>
internal static class TalkLanes
{
    internal const double Height = 64;

    private const double Lane = 30, Bar = 20;

    internal static HtmlText Of(Talk talk, TimeAxis axis, double top) => $"""
        {DrawLane("answers", TurnKind.Answer, [.. talk.Answers], axis, top)}
        {DrawLane("questions", TurnKind.Question, [.. talk.Questions], axis, top + Lane)}
        """;

    private static HtmlText DrawLane(string name, TurnKind kind, Turn[] turns, TimeAxis axis, double top) => $"""
        {Plot.LaneName(name, top + 19)}
        {turns.Select((turn, i) => DrawTurn(turn, $"{kind.InWords()} {(i + 1).ToString(CultureInfo.InvariantCulture)}", axis, top + ((Lane - Bar) / 2)))}
        """;

    private static HtmlText DrawTurn(Turn turn, string name, TimeAxis axis, double top)
    {
        double from = axis.Within(turn.CommonRange.Start), to = Math.Max(from + 1, axis.Within(turn.CommonRange.End));
        string label = Plot.Fitting(name, to - from);
        label = label == name ? name : to - from >= 20 ? name[(name.LastIndexOf(' ') + 1)..] : string.Empty;
        return $"""
            <g><title>{name}: {Figures.Clock(turn.CommonRange.Start)} to {Figures.Clock(turn.CommonRange.End)}{(turn.MayBeRestart ? ", possible restart" : string.Empty)}</title>
            <rect class="turn {turn.Kind.InWords()}" x="{from:0.#}" y="{top:0.#}" width="{to - from:0.#}" height="{Bar:0.#}"/>
            <text class="bar-text" x="{(from + to) / 2:0.#}" y="{top + 15:0.#}">{label}</text></g>

            """;
    }
}
