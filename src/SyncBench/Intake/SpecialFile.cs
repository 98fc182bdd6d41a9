using System.Runtime.InteropServices;

namespace SyncBench.Intake;

/// <summary>Tells pipes, sockets and devices from files: opening one of them may wait for ever or do something.</summary>
/// <remarks>
/// The framework does not say. statx is Linux's own call, with one layout on every processor (man 2 statx); elsewhere every
/// entry is taken as a file.
/// </remarks>
internal static partial class SpecialFile
{
    private const int FromWorkingFolder = -100;
    private const int DoNotFollowLinks = 0x100;
    private const uint WantType = 1;
    private const int ModeAt = 28;
    private const int TypeMask = 0xF000;
    private const int Regular = 0x8000;

    /// <remarks>Asked only of entries without bytes: none of these has a length.</remarks>
    internal static bool Is(FileInfo entry)
    {
        if (entry.Length > 0 || !OperatingSystem.IsLinux())
        {
            return false;
        }

        Span<byte> answer = stackalloc byte[256];
        return StatX(FromWorkingFolder, entry.FullName, DoNotFollowLinks, WantType, answer) == 0
            && (BitConverter.ToUInt16(answer[ModeAt..]) & TypeMask) != Regular;
    }

    [LibraryImport("libc", EntryPoint = "statx", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int StatX(int folder, string path, int flags, uint mask, Span<byte> answer);
}
