namespace SyncBench.Intake;

/// <summary>Tells pipes, sockets and devices from files: opening one of them may wait for ever or do something.</summary>
/// <remarks>The framework does not say, Linux does; elsewhere every entry is taken as a file.</remarks>
internal static class SpecialFile
{
    private const int TypeMask = 0xF000;
    private const int Regular = 0x8000;

    /// <remarks>Asked only of entries without bytes: none of these has a length.</remarks>
    internal static bool Is(FileInfo entry) =>
        entry.Length == 0 && StatX.Mode(entry.FullName) is { } mode && (mode & TypeMask) != Regular;
}
