using System.Collections.Immutable;

namespace SyncBench.Reporting;

/// <summary>Two waveforms of one consonant on top of each other, and the same to be heard.</summary>
internal static class ProofPlot
{
    private const double Top = 10, Height = 130, Bottom = Top + Height;

    internal static HtmlText Of(SyncProof proof, string id)
    {
        string clip = proof.Clip.Clip.File.Path, reference = proof.Reference.Path;
        double milliseconds = SyncProofs.Shown.ToMilliseconds();
        HtmlText drawing = $"""
            {Enumerable.Range(0, 5).Select(i => Tick(i / 4.0, (i - 2) * milliseconds / 4))}
            <path class="level" d="{Line(proof.ReferenceWave)}"/>
            <path class="noise" d="{Line(proof.ClipWave)}"/>
            """;
        HtmlText caption = $"""
            A consonant at {Figures.Clock(proof.CommonAt)} on the common clock, {milliseconds:0} ms wide, each brought to the same height:
            <span class="key">{Plot.SolidLine} <bdi>{reference}</bdi>,</span>
            <span class="key">{Plot.DashedLine} <bdi>{clip}</bdi>.</span>
            Another place in the room colours a sound, so the lines differ in shape; in sync they rise together.
            """;
        return $"""
            {Plot.Figure(id, $"{clip} over {reference} at {milliseconds:0} ms", $"Both begin at the same instant where the placement is right.", Bottom + 26, drawing, caption)}
            {Player(proof.Sound, $"{reference} in the left ear, {clip} in the right")}
            """;
    }

    private static HtmlText Player(ImmutableArray<byte> sound, string what) => sound.IsEmpty ? HtmlText.Nothing : $"""
        <p class="player"><audio controls="controls" preload="none" aria-label="{what}" src="data:audio/mpeg;base64,{Convert.ToBase64String(sound.AsSpan())}"></audio> <span>{what}, with headphones: one voice in the middle of the head is in sync, an echo is not.</span></p>

        """;

    private static HtmlText Tick(double share, double ms) => $"""
        <line class="grid" x1="{X(share):0.#}" x2="{X(share):0.#}" y1="{Top:0.#}" y2="{Bottom:0.#}"/>
        <text class="tick" x="{X(share):0.#}" y="{Bottom + 16:0.#}">{Figures.Signed(ms, 0)} ms</text>

        """;

    private static double X(double share) => Plot.Left + (share * (Plot.Right - Plot.Left));

    private static string Line(ImmutableArray<float> wave)
    {
        float highest = Math.Max(1e-6f, wave.Max(Math.Abs));
        return "M" + string.Join('L', wave.Select((sample, i) => FormattableString.Invariant(
            $"{X((i + 0.5) / wave.Length):0.#} {Top + (Height / 2 * (1 - (sample / highest))):0.#}")));
    }
}
