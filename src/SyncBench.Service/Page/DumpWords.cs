using System.Globalization;
using SyncBench.Pipeline;
using SyncBench.Reporting;
using SyncBench.Service.Jobs;

namespace SyncBench.Service.Page;

/// <summary>States and stages in the reader's words.</summary>
internal static class DumpWords
{
    internal static string InWords(this DumpState state) => state switch
    {
        DumpState.Waiting => "in line",
        DumpState.Running => "running",
        DumpState.Retrying => "waiting to run again",
        DumpState.Done => "done",
        DumpState.NeedsAPerson => "done, look at it",
        DumpState.Failed => "failed",
        _ => "cancelled",
    };

    internal static string StyleOf(DumpState state) => state switch
    {
        DumpState.Done => "state done",
        DumpState.NeedsAPerson => "state look",
        DumpState.Failed => "state failed",
        _ => "state",
    };

    /// <summary>"3 of 7, reading sound: CAM_A/A001.MP4, 42 %; 3.1 GB of 12.0 GB checked on edit-2"; empty where nothing runs.</summary>
    internal static string Progress(DumpRecord dump)
    {
        string where = dump.Machine.Length == 0 ? string.Empty : $" on {dump.Machine}";
        if (dump.State != DumpState.Running || !Enum.TryParse(dump.Progress.Stage, out Stage stage))
        {
            return dump.State == DumpState.Running ? $"beginning{where}" : string.Empty;
        }

        RunNote now = dump.Progress;
        string item = now.Item.Length == 0 ? string.Empty : $": {now.Item}";
        return string.Create(CultureInfo.InvariantCulture, $"{(int)stage + 1} of {(int)Stage.Write + 1}, {InWords(stage)}{item}, {now.Share * 100:0} %{Checked(now)}{where}");
    }

    /// <summary>Each byte of the dump is read once for its checksums, beside the stages.</summary>
    private static string Checked(RunNote now) =>
        now.BytesAll == 0 ? string.Empty : $"; {Figures.Bytes(now.BytesDone)} of {Figures.Bytes(now.BytesAll)} checked";

    private static string InWords(Stage stage) => stage switch
    {
        Stage.List => "listing files",
        Stage.Probe => "probing files",
        Stage.ReadSound => "reading sound",
        Stage.Align => "aligning",
        Stage.ChooseMics => "choosing mics",
        Stage.RenderDialogue => "rendering dialogue",
        Stage.Write => "writing results",
        _ => "checksums",
    };
}
