using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace SyncBench.Service.Jobs;

/// <summary>What the service knows of a dump.</summary>
/// <param name="Reason">Why it is in its state, in the reader's words; empty where there is nothing to say.</param>
/// <param name="Fingerprint">Of the files that the last ended run saw; empty before the first.</param>
/// <param name="Progress">Of the run that is under way.</param>
/// <param name="Starts">Runs begun since the last one that ended by itself: more than one tells of a service that died.</param>
/// <param name="Tries">Runs that ended in something that may pass, since the last other end.</param>
/// <param name="Machine">On which it runs, where several share the work; else empty.</param>
/// <param name="IsHeld">Whether the run that is under way was noted of late, so that nobody else may begin it.</param>
internal sealed record DumpRecord(
    string Id, string Folder, DumpState State, string Reason, string Fingerprint,
    RunNote Progress, int Starts, int Tries, bool CancelWanted, DateTimeOffset ChangedAt, string Machine, bool IsHeld)
{
    internal string Name => Path.GetFileName(Folder);

    internal bool IsActive => State is DumpState.Waiting or DumpState.Running or DumpState.Retrying;

    internal bool HasResults => State is DumpState.Done or DumpState.NeedsAPerson;

    internal static string IdOf(string folder) =>
        Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(folder)).AsSpan(0, 8));

    internal string ChangedAtText => ChangedAt.LocalDateTime.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture);
}
