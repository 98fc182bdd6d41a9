using System.Globalization;
using System.Text;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>Which mic is heard when, how it sounds, and what is wrong with each mic.</summary>
internal static class MicPlot
{
    private const double Strip = 30, StripHeight = 28, Level = 72, LevelHeight = 168, FaultLane = 38;

    /// <summary>dB relative to full scale, bottom and top of the level picture.</summary>
    private const double Lowest = -80, Highest = 0;

    internal static HtmlText Of(TakeSound sound, string id)
    {
        TimeRange range = sound.Take.CommonRange;
        var axis = new TimeAxis(range, Plot.Left, Plot.Right);
        IGrouping<(string Path, int Channel), Fault>[] faulty = [.. sound.Faults
            .GroupBy(fault => (fault.Source.Clip.File.Path, fault.Source.Mic.Channel))
            .OrderBy(mic => mic.Key.Path, StringComparer.Ordinal).ThenBy(mic => mic.Key.Channel)];
        double bottom = Level + LevelHeight + 8 + (faulty.Length * FaultLane);
        HtmlText drawing = $"""
            {axis.Above(Strip)}{Plot.LaneName("chosen mic", Strip + 18)}
            {axis.Below(Level, bottom)}
            {Decibels()}
            {Curves(LevelCurve.OfChosenMic(sound))}
            {sound.Segments.Select(segment => DrawSegment(segment, axis))}
            {faulty.Select((mic, i) => DrawFaults([.. mic], axis, Level + LevelHeight + 8 + (i * FaultLane)))}
            """;
        return Plot.Figure(
            id, $"The chosen mic of {sound.Take.Name}", Description(sound), bottom + 26, drawing, Caption(faulty.Length > 0));
    }

    private static HtmlText Caption(bool faulty) => $"""
        <span class="key"><svg class="swatch" aria-hidden="true" viewBox="0 0 28 14"><title>filled</title><path class="peak" d="M0 14V6l5-4 6 3 6-5 6 6 5-2v10z"/></svg> highest sample</span>
        <span class="key">{Plot.SolidLine} speech level</span>
        <span class="key">{Plot.DashedLine} noise floor</span>
        of the chosen mic, in dB relative to full scale. Times from the start of the take stand above, on the common clock below.
        {(faulty ? (HtmlText)$" Hatched stretches below are faults, a lane for each mic that has any: <b>W</b> wind, <b>R</b> rustle, <b>C</b> clipping, <b>D</b> dropout or digital silence, <b>G</b> gain pumping, <b>H</b> hum or hiss, <b>K</b> knocks." : HtmlText.Nothing)}
        """;

    private static string Description(TakeSound sound) =>
        sound.Segments.IsEmpty
            ? "No mic is chosen in this take."
            : $"{Words.Count(sound.Segments.Length, "segment")} and {Words.Count(sound.Faults.Length, "fault")}; the segments, with times and reasons, stand in the table below the plots.";

    private static HtmlText DrawSegment(Segment segment, TimeAxis axis)
    {
        double from = axis.Within(segment.CommonRange.Start), to = axis.Within(segment.CommonRange.End);
        MicRole role = segment.Source.Mic.Role;
        return $"""
            <g><title>{Words.Mic(segment.Source)}: {segment.Reason}</title>
            <rect class="mic {role.InWords()}" x="{from:0.#}" y="{Strip:0.#}" width="{Math.Max(1, to - from):0.#}" height="{StripHeight:0.#}"/>
            <text class="bar-text mic-text" x="{(from + to) / 2:0.#}" y="{Strip + 19:0.#}">{Plot.Fitting(role.InWords(), to - from)}</text></g>
            <line class="change" x1="{from:0.#}" x2="{from:0.#}" y1="{Strip:0.#}" y2="{Level + LevelHeight:0.#}"/>

            """;
    }

    private static HtmlText Decibels() => $"{Enumerable.Range(0, 5).Select(i => DecibelLine(Highest - (i * 20)))}";

    private static HtmlText DecibelLine(double db) => $"""
        <line class="grid" x1="{Plot.Left:0.#}" x2="{Plot.Right:0.#}" y1="{Y(db):0.#}" y2="{Y(db):0.#}"/>
        <text class="lane small" x="{Plot.Left - 10:0.#}" y="{Y(db) + 4:0.#}">{Figures.Signed(db, 0)} dB</text>

        """;

    private static HtmlText Curves(LevelCurve curve) => $"""
        <path class="peak" d="{Area(curve.PeakDb)}"/>
        <path class="noise" d="{Line(curve.NoiseDb)}"/>
        <path class="level" d="{Line(curve.LevelDb)}"/>
        """;

    private static double Y(double db) =>
        Level + ((Highest - Math.Clamp(db, Lowest, Highest)) / (Highest - Lowest) * LevelHeight);

    private static double X(int column, int columns) =>
        Plot.Left + ((column + 0.5) / columns * (Plot.Right - Plot.Left));

    /// <summary>A polyline that breaks where there is no value.</summary>
    private static string Line(double[] db)
    {
        var path = new StringBuilder();
        for (int i = 0; i < db.Length; i++)
        {
            if (!double.IsNaN(db[i]))
            {
                Point(path, i > 0 && !double.IsNaN(db[i - 1]) ? 'L' : 'M', X(i, db.Length), Y(db[i]));
            }
        }

        return path.ToString();
    }

    /// <summary>The same, closed down to the bottom.</summary>
    private static string Area(double[] db)
    {
        var path = new StringBuilder();
        for (int i = 0; i < db.Length; i++)
        {
            if (double.IsNaN(db[i]))
            {
                continue;
            }

            bool begins = i == 0 || double.IsNaN(db[i - 1]), ends = i + 1 == db.Length || double.IsNaN(db[i + 1]);
            if (begins)
            {
                Point(path, 'M', X(i, db.Length), Y(Lowest));
            }

            Point(path, 'L', X(i, db.Length), Y(db[i]));
            if (ends)
            {
                Point(path, 'L', X(i, db.Length), Y(Lowest));
                path.Append('Z');
            }
        }

        return path.ToString();
    }

    private static void Point(StringBuilder path, char verb, double x, double y) =>
        path.Append(CultureInfo.InvariantCulture, $"{verb}{x:0.#} {y:0.#}");

    private static HtmlText DrawFaults(Fault[] faults, TimeAxis axis, double top)
    {
        MicSource mic = faults[0].Source;
        return $"""
            {Plot.LaneName(mic.Mic.Role.InWords(), top + 14)}<text class="lane small" x="{Plot.Left - 10:0.#}" y="{top + 27:0.#}">{Plot.Fitting(Words.Where(mic), Plot.Left)}</text>
            <line class="lane-line" x1="{Plot.Left:0.#}" x2="{Plot.Right:0.#}" y1="{top + 34:0.#}" y2="{top + 34:0.#}"/>
            {faults.Select(fault => DrawFault(fault, axis, top + 7))}
            """;
    }

    private static HtmlText DrawFault(Fault fault, TimeAxis axis, double top)
    {
        double from = axis.Within(fault.CommonRange.Start), to = Math.Max(from + 2, axis.Within(fault.CommonRange.End));
        string word = fault.Kind.InWords(), label = Plot.Fitting(word, to - from);
        label = label == word ? word : to - from >= 11 ? word[..1].ToUpperInvariant() : string.Empty;
        double labelWidth = (label.Length * 7.2) + 4;
        return $"""
            <g><title>{Words.Mic(fault.Source)}: {word} {Figures.Clock(fault.CommonRange.Start)} to {Figures.Clock(fault.CommonRange.End)}</title>
            <rect class="fault {word.Replace(' ', '-')}" x="{from:0.#}" y="{top:0.#}" width="{to - from:0.#}" height="20"/>
            {(label.Length == 0 ? HtmlText.Nothing : Label(label, (from + to) / 2, labelWidth, top))}</g>

            """;
    }

    private static HtmlText Label(string label, double middle, double width, double top) => $"""
        <rect class="plate" x="{middle - (width / 2):0.#}" y="{top + 3:0.#}" width="{width:0.#}" height="14"/>
        <text class="fault-text" x="{middle:0.#}" y="{top + 14.5:0.#}">{label}</text>
        """;
}
