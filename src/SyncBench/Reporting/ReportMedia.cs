using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Reporting;

/// <summary>What the page shows and plays beside figures.</summary>
/// <param name="Thumbnails">JPEG of a frame from the middle of each clip with picture.</param>
/// <param name="Changes">Files around the changes of mic of each take, relative to the results folder.</param>
public sealed record ReportMedia(
    ImmutableDictionary<MediaFile, ImmutableArray<byte>> Thumbnails,
    ImmutableArray<SyncProof> Proofs,
    ImmutableArray<(Take Take, string Path)> Changes)
{
    public static ReportMedia None { get; } = new(ImmutableDictionary<MediaFile, ImmutableArray<byte>>.Empty, [], []);

    /// <summary>The thumbnail of a file; nothing where there is none.</summary>
    internal HtmlText Thumbnail(MediaFile file) => Thumbnails.TryGetValue(file, out ImmutableArray<byte> jpeg)
        ? $"<img class=\"thumbnail\" alt=\"a frame from the middle of {file.Path}\" src=\"data:image/jpeg;base64,{Convert.ToBase64String(jpeg.AsSpan())}\"/>"
        : HtmlText.Nothing;
}
