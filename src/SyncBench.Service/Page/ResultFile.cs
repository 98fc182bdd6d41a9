namespace SyncBench.Service.Page;

/// <summary>A file of a results folder that may be served, and as what.</summary>
internal sealed record ResultFile(string FullPath, string ContentType)
{
    private static readonly Dictionary<string, string> Types = new(StringComparer.OrdinalIgnoreCase)
    {
        [".html"] = "text/html; charset=utf-8",
        [".csv"] = "text/csv; charset=utf-8",
        [".json"] = "application/json",
        [".log"] = "text/plain; charset=utf-8",
        [".vtt"] = "text/vtt; charset=utf-8",
        [".edl"] = "text/plain; charset=utf-8",
        [".otio"] = "application/json",
        [".wav"] = "audio/wav",
        [".jpg"] = "image/jpeg",
        [".png"] = "image/png",
    };

    /// <summary>Only what lies in the folder, by its plain name, through no link.</summary>
    /// <returns>Null where there is no such file to serve.</returns>
    internal static ResultFile? Find(string folder, string path)
    {
        string[] parts = path.Split('/');
        if (parts.Any(part => part.Length == 0 || part.StartsWith('.') || part.IndexOfAny(['\\', '\0']) >= 0)
            || !Types.TryGetValue(Path.GetExtension(path), out string? type))
        {
            return null;
        }

        string full = folder;
        foreach (string part in parts)
        {
            full = Path.Combine(full, part);
            if (new FileInfo(full).LinkTarget is not null)
            {
                return null;
            }
        }

        return File.Exists(full) ? new ResultFile(full, type) : null;
    }
}
