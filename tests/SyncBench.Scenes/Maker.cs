namespace SyncBench.Scenes;

/// <summary>Of several processes that want the same made, one makes it at a time; the others wait.</summary>
internal static class Maker
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(10);

    /// <returns>To be disposed of when all is made.</returns>
    /// <exception cref="IOException">Another has been at it for ten minutes, or the folder cannot be written to.</exception>
    internal static async Task<FileStream> AloneAsync(string path, CancellationToken cancel)
    {
        DateTime end = DateTime.UtcNow + Patience;
        while (true)
        {
            try
            {
                return new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
            }
            catch (IOException) when (File.Exists(path) && DateTime.UtcNow < end)
            {
                await Task.Delay(200, cancel);
            }
        }
    }
}
