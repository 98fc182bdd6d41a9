using SyncBench.Selection;
using SyncBench.Signal.Loudness;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Reporting;

/// <summary>How loud a take is, its dialogue file first, then mic by mic.</summary>
internal static class LoudnessTable
{
    internal static HtmlText Of(TakeSound sound)
    {
        TakeLoudness loudness = sound.Loudness;
        if (loudness.Mics.IsEmpty)
        {
            return HtmlText.Nothing;
        }

        var table = new HtmlTable(
            "Loudness (EBU R 128), each mic as one channel, and what brings it to −23 LUFS",
            "Sound", "Integrated", "Range", "True peak", "Gain to −23 LUFS", "Active speech level", "Level match");
        if (loudness.File is { } file)
        {
            Row(table, DialogueFiles.PathOf(sound.Take), file, "–", "–");
        }

        foreach (MicLoudness mic in loudness.Mics)
        {
            Row(
                table, Words.Mic(mic.Device, mic.Mic), mic.Figures, $"{Figures.Signed(mic.ActiveSpeechDb, 1)} dBFS",
                $"{Figures.Signed(mic.MatchDb, 1)} dB ({mic.MatchedBy})");
        }

        return $"""
            <h3>Loudness</h3>
            {table.ToHtml()}
            <p class="caution">Listen at a moderate level first: a recording may hold knocks and gusts far above the speech.</p>

            """;
    }

    private static void Row(HtmlTable table, string sound, LoudnessFigures figures, string speech, string match) => table.Row(
        $"<bdi>{sound}</bdi>",
        $"<span class=\"figure\">{Figures.Signed(figures.IntegratedLufs, 1)} LUFS</span>",
        $"<span class=\"figure\">{Figures.Magnitude(figures.RangeLu, 1)} LU</span>",
        $"<span class=\"figure\">{Figures.Signed(figures.TruePeakDb, 1)} dBTP</span>",
        $"<span class=\"figure\">{(figures.GainDb is { } gain ? Figures.Signed(gain, 1) + " dB" : "–")}</span>",
        $"<span class=\"figure\">{speech}</span>",
        $"{match}");
}
