namespace SyncBench.Reporting;

/// <summary>The frame every plot shares: a figure with a drawing that has a title and a description, and a caption.</summary>
internal static class Plot
{
    internal const double Width = 960;

    /// <summary>Lane names stand left of this.</summary>
    internal const double Left = 150;

    internal const double Right = Width - 24;

    /// <summary>For a legend: the line of class <c>level</c>, and that of class <c>noise</c>.</summary>
    internal static readonly HtmlText SolidLine =
        $"""<svg class="swatch" aria-hidden="true" viewBox="0 0 28 14"><title>solid line</title><path class="level" d="M1 9l8-5 8 4 9-6"/></svg>""";

    internal static readonly HtmlText DashedLine =
        $"""<svg class="swatch" aria-hidden="true" viewBox="0 0 28 14"><title>dashed line</title><path class="noise" d="M1 9l13-2 12 1"/></svg>""";

    /// <param name="id">Unique in the page.</param>
    /// <param name="description">The plot in words, for who cannot see it.</param>
    internal static HtmlText Figure(
        string id, string title, string description, double height, HtmlText drawing, HtmlText caption) => $"""
        <figure>
        <div class="scroll" tabindex="0" role="group" aria-label="{title}">
        <svg role="img" aria-labelledby="{id}-t {id}-d" viewBox="0 0 {Width:0} {height:0}">
        <title id="{id}-t">{title}</title>
        <desc id="{id}-d">{description}</desc>
        {drawing}
        </svg>
        </div>
        <figcaption>{caption}</figcaption>
        </figure>

        """;

    /// <summary>The name of a lane, cut to what fits left of the plot; the whole name is told by pointing at it.</summary>
    internal static HtmlText LaneName(string name, double y, double indent = Left - 10)
    {
        const int fits = 18;
        return name.Length <= fits
            ? $"<text class=\"lane\" x=\"{indent:0.#}\" y=\"{y:0.#}\">{name}</text>\n"
            : (HtmlText)$"<text class=\"lane\" x=\"{indent:0.#}\" y=\"{y:0.#}\"><title>{name}</title>{Cut(name, fits)}</text>\n";
    }

    /// <summary>The text if about <paramref name="width"/> units hold it at the label size, cut if some of it fits, else nothing.</summary>
    internal static string Fitting(string text, double width)
    {
        int fits = (int)((width - 8) / 7.8);
        return text.Length <= fits ? text : fits >= 4 ? Cut(text, fits) : string.Empty;
    }

    /// <summary>A file's name: whole, or without its ending, or cut.</summary>
    internal static string FittingName(string name, double width) =>
        Fitting(name, width) is var whole && whole == name ? name : Fitting(Path.GetFileNameWithoutExtension(name), width);

    /// <summary>Never between the halves of one character.</summary>
    private static string Cut(string text, int length)
    {
        int end = length - 1;
        return text[..(char.IsHighSurrogate(text[end - 1]) ? end - 1 : end)] + "…";
    }
}
