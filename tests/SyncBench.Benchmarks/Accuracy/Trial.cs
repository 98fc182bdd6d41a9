namespace SyncBench.Benchmarks.Accuracy;

/// <summary>What one clip is asked about one recorder.</summary>
/// <param name="Kind">Names a group of rows of the table.</param>
/// <param name="Source">Whose clip it is; the recorder's own talk where the two belong together.</param>
/// <param name="Clip">Null where the sound is no talk at all; its name is then in <paramref name="Kind"/>.</param>
/// <param name="From">Seconds of the clip left away at its beginning.</param>
/// <param name="Seconds">Length of the clip.</param>
/// <param name="RecorderSeconds">The recorder is cut off after this.</param>
internal sealed record Trial(
    string Kind, Talk Recorder, Talk Source, ClipTruth? Clip, double SnrDb, double From, double Seconds,
    double RecorderSeconds, bool Belongs, ulong Seed = 0);

/// <summary>What the aligner said of it.</summary>
/// <param name="ErrorMs">Of the middle of the clip, where placed; positive where it was placed too late.</param>
/// <param name="PpmSigma">The standard error that the aligner claims.</param>
internal sealed record TrialResult(
    string Kind, string Recorder, double Seconds, double SnrDb, double Rt60, bool IsFar, double DirectToReverberantDb,
    double Ppm, bool Belongs, string Outcome, double Certainty, double? ErrorMs, double? PpmError, double? PpmSigma)
{
    /// <summary>A clip that is off by more than a frame is not where it belongs.</summary>
    private const double WrongMs = 40;

    internal bool IsPlaced => Outcome == "Placed";

    internal bool IsFalse => IsPlaced && (!Belongs || Math.Abs(ErrorMs ?? 0) > WrongMs);
}
