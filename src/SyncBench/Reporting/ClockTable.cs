using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>The devices of the dump and how their clocks run against the reference.</summary>
internal static class ClockTable
{
    internal static HtmlText Of(DumpResult result)
    {
        var table = new HtmlTable(
            "Each device's clock against the reference: 1 ppm is 3.6 ms in an hour", "Device", "Kind and role", "Files placed", "Clock against the reference", "Drift in an hour", "Picture off its place at most", "Distance to the talker");
        foreach (DeviceClock clock in result.Clocks)
        {
            FileOutcome[] placed = [.. result.Files.Where(file => file.Outcome == Outcome.Placed && file.Clip?.Device == clock.Device)];
            table.Row(
                $"<bdi>{clock.Device.Name}</bdi>",
                $"{clock.Device.Kind.InWords()}, {Roles(placed)}",
                $"{placed.Length}",
                clock.IsReference
                    ? $"the reference"
                    : (HtmlText)$"<span class=\"figure\">{Figures.Signed(clock.Ppm, 2)} ± {Figures.Magnitude(clock.StandardErrorPpm, 2)} ppm</span>",
                clock.IsReference ? $"–" : (HtmlText)$"<span class=\"figure\">{Figures.Signed(clock.Ppm * 3.6, 1)} ms</span>",
                Off(result, placed) is { } off ? (HtmlText)$"<span class=\"figure\">{off.ToMilliseconds():0.0} ms</span>" : $"–",
                clock.Device.Kind == DeviceKind.Recorder ? $"–"
                    : (HtmlText)$"{Distance(clock.Device)}{PictureOffset(clock.Device)}");
        }

        return table.ToHtml();
    }

    /// <summary>Of the worst frame on the timeline; null for sound alone.</summary>
    private static MediaTime? Off(DumpResult result, FileOutcome[] placed) => placed
        .Where(file => result.FrameResiduals.ContainsKey(file.File))
        .Max(file => (MediaTime?)result.FrameResiduals[file.File]);

    private static string Distance(Device device) => device.DistanceMetres is { } metres
        ? string.Create(CultureInfo.InvariantCulture, $"{metres:0.##} m")
        : "not set";

    private static string PictureOffset(Device device) => device.SoundBehindPicture.ToMilliseconds() is var late and not 0
        ? string.Create(CultureInfo.InvariantCulture, $"; own sound {Math.Abs(late):0.#} ms {(late > 0 ? "late" : "early")}")
        : string.Empty;

    private static string Roles(FileOutcome[] placed) =>
        string.Join(", ", placed.Select(file => Words.Role(file.Clip!)).Distinct(StringComparer.Ordinal));
}
