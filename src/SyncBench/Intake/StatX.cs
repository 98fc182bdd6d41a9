using System.Runtime.InteropServices;

namespace SyncBench.Intake;

/// <summary>What Linux knows of a file and the framework does not say.</summary>
/// <remarks>statx is Linux's own call, with one layout on every processor (man 2 statx); elsewhere there is no answer.</remarks>
internal static partial class StatX
{
    private const int FromWorkingFolder = -100;
    private const int DoNotFollowLinks = 0x100;
    private const uint WantType = 0x1, WantChangeTime = 0x80, WantInode = 0x100;
    private const int ModeAt = 28, InodeAt = 32, ChangeSecondsAt = 96, ChangeNanosecondsAt = 104;

    /// <summary>Kind and rights of the entry; null where there is no answer.</summary>
    internal static ushort? Mode(string path)
    {
        Span<byte> answer = stackalloc byte[256];
        return Ask(path, WantType, answer) ? BitConverter.ToUInt16(answer[ModeAt..]) : null;
    }

    /// <summary>
    /// Number of the file on its file system, and when it was last written or changed in any other way, in the kernel's own
    /// time that no program sets, as copying does with the time of writing. Zeros where there is no answer.
    /// </summary>
    internal static (ulong Inode, long ChangeSeconds, uint ChangeNanoseconds) Identity(string path)
    {
        Span<byte> answer = stackalloc byte[256];
        return Ask(path, WantChangeTime | WantInode, answer)
            ? (BitConverter.ToUInt64(answer[InodeAt..]), BitConverter.ToInt64(answer[ChangeSecondsAt..]), BitConverter.ToUInt32(answer[ChangeNanosecondsAt..]))
            : default;
    }

    private static bool Ask(string path, uint wanted, Span<byte> answer) =>
        OperatingSystem.IsLinux() && Call(FromWorkingFolder, path, DoNotFollowLinks, wanted, answer) == 0;

    [LibraryImport("libc", EntryPoint = "statx", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Call(int folder, string path, int flags, uint mask, Span<byte> answer);
}
