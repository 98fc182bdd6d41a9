using System.Globalization;

namespace SyncBench.Scenes;

/// <summary>A filled box of a picture.</summary>
/// <param name="X">Left edge in pixels.</param>
/// <param name="Y">Top edge in pixels.</param>
/// <param name="Colour">0xRRGGBB.</param>
public sealed record Figure(int X, int Y, int Width, int Height, string Colour)
{
    /// <summary>True seconds between which it is seen; null for always. A mouth is seen while it is open.</summary>
    public IReadOnlyList<(double From, double To)>? Seen { get; init; }
}

/// <summary>
/// What a camera of the scene films: flat colours, and the scene's clock, so that two angles can be compared by eye.
/// </summary>
/// <param name="Label">Plain letters, digits, spaces and underscores.</param>
public sealed record Picture(string Label, string Background, IReadOnlyList<Figure> Figures)
{
    public const int Width = 480;
    public const int Height = 270;

    /// <summary>The picture as ffmpeg's filters take it.</summary>
    /// <param name="sceneSeconds">True time of the first frame: the clock in the picture shows it.</param>
    public string Filter(int frames, double sceneSeconds)
    {
        decimal seconds = (decimal)frames / CameraFile.FramesPerSecond;
        FormattableString source =
            $"color=c={Background}:size={Width}x{Height}:rate={CameraFile.FramesPerSecond}:d={seconds},format=yuv420p";
        IEnumerable<string> boxes = Figures.Select(figure => Box(figure, sceneSeconds, (double)seconds));
        FormattableString clock =
            $@",drawtext=text='{Label}  %{{pts\:hms\:{sceneSeconds:0.000}}}':x=12:y={Height - 28}:fontsize=18:fontcolor=white";
        return FormattableString.Invariant(source) + string.Concat(boxes) + FormattableString.Invariant(clock);
    }

    private static string Box(Figure figure, double sceneSeconds, double seconds)
    {
        string box = string.Create(CultureInfo.InvariantCulture,
            $",drawbox=x={figure.X}:y={figure.Y}:w={figure.Width}:h={figure.Height}:color={figure.Colour}:t=fill");
        if (figure.Seen is null)
        {
            return box;
        }

        // A few parts per million of clock error are a fraction of a frame over a clip: the picture need not know.
        string when = string.Join('+', figure.Seen
            .Select(span => (From: span.From - sceneSeconds, To: span.To - sceneSeconds))
            .Where(span => span.To > 0 && span.From < seconds)
            .Select(span => string.Create(CultureInfo.InvariantCulture, $"between(t,{span.From:0.000},{span.To:0.000})")));
        return when.Length == 0 ? "" : $"{box}:enable='{when}'";
    }
}
