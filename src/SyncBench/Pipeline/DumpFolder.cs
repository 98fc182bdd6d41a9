using SyncBench.Intake;

namespace SyncBench.Pipeline;

/// <summary>A dump's files, or a refusal that says why there are none.</summary>
internal static class DumpFolder
{
    /// <exception cref="RunRefusedException">There is no such folder, it cannot be read, or it is empty.</exception>
    internal static DumpListing List(string folder)
    {
        try
        {
            DumpListing listing = DumpLister.List(folder);
            return listing.Files.IsEmpty
                ? throw new RunRefusedException($"{folder}: the folder holds no files. Check that the copy from the cards has ended.", wrongUsage: false)
                : listing;
        }
        catch (DirectoryNotFoundException)
        {
            throw new RunRefusedException($"{folder}: there is no such folder. Check the path.", wrongUsage: true);
        }
        catch (Exception wrong) when (wrong is IOException or UnauthorizedAccessException)
        {
            throw new RunRefusedException($"{folder}: the folder cannot be read ({wrong.Message.TrimEnd('.')}). Check disk and permissions.", wrongUsage: false, cause: wrong);
        }
    }
}
