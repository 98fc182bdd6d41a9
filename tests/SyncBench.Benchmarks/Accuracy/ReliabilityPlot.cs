using System.Globalization;
using System.Text;

namespace SyncBench.Benchmarks.Accuracy;

/// <summary>
/// Claimed chance of being wrong against the share that was wrong, both on scales of powers of ten, for at the sure end
/// a thousandth matters. Dots on or below the diagonal promise no more than they keep.
/// </summary>
internal static class ReliabilityPlot
{
    private const int Left = 90, Top = 30, Side = 400, Decades = 4;

    internal static string Svg(IReadOnlyList<ReliabilityBin> bins)
    {
        var svg = new StringBuilder();
        void Line(FormattableString text) => svg.AppendLine(text.ToString(CultureInfo.InvariantCulture));
        Line($"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 540 520\" font-family=\"sans-serif\" font-size=\"13\">");
        Line($"<title>Certainty claimed against placements that were wrong</title>");
        Line($"<rect width=\"540\" height=\"520\" fill=\"#fff\"/>");
        for (int decade = 0; decade <= Decades; decade++)
        {
            double place = Math.Pow(10, -decade), x = X(place), y = Y(place);
            Line($"<path d=\"M{x:0} {Top}V{Top + Side}M{Left} {y:0}H{Left + Side}\" stroke=\"#ddd\" fill=\"none\"/>");
            Line($"<text x=\"{x:0}\" y=\"{Top + Side + 20}\" text-anchor=\"middle\">{place * 100:0.###} %</text>");
            Line($"<text x=\"{Left - 8}\" y=\"{y + 4:0}\" text-anchor=\"end\">{place * 100:0.###} %</text>");
        }

        Line($"<path d=\"M{X(1):0} {Y(1):0}L{X(1e-4):0} {Y(1e-4):0}\" stroke=\"#888\" stroke-dasharray=\"6 4\" fill=\"none\"/>");
        foreach (ReliabilityBin bin in bins.Where(bin => bin.Guesses > 0))
        {
            double x = X(1 - bin.MeanClaimed), wrong = 1 - bin.ShareRight;
            Line($"<path d=\"M{x:0.0} {Y(1 - bin.LeastShare):0.0}V{Y(1 - bin.MostShare):0.0}\" stroke=\"#27548a\" stroke-width=\"2\"/>");
            Line($"<circle cx=\"{x:0.0}\" cy=\"{Y(wrong):0.0}\" r=\"5\" fill=\"{(wrong > 0 ? "#27548a" : "#fff")}\" stroke=\"#27548a\" stroke-width=\"2\"/>");
            Line($"<text x=\"{x + 8:0.0}\" y=\"{Y(wrong) - 8:0.0}\">{bin.Guesses - bin.Right} of {bin.Guesses}</text>");
        }

        Line($"<text x=\"{Left + (Side / 2)}\" y=\"{Top + Side + 45}\" text-anchor=\"middle\">chance of being wrong that is claimed (1 − certainty)</text>");
        Line($"<text transform=\"translate(22 {Top + (Side / 2)}) rotate(-90)\" text-anchor=\"middle\">share that was wrong, with 95 % interval</text>");
        Line($"<text x=\"{Left}\" y=\"{Top + Side + 70}\" fill=\"#555\">open: none was wrong; drawn at the edge of the scale where below it</text>");
        Line($"</svg>");
        return svg.ToString();
    }

    private static double X(double wrong) => Left + (Side * Share(wrong));

    private static double Y(double wrong) => Top + Side - (Side * (1 - Share(wrong)));

    /// <summary>0 where all is wrong, 1 at the last decade.</summary>
    private static double Share(double wrong) => Math.Clamp(-Math.Log10(Math.Max(wrong, 1e-12)) / Decades, 0, 1);
}
