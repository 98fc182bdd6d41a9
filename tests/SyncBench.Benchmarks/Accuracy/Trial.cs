namespace SyncBench.Benchmarks.Accuracy;

/// <summary>What one clip is asked about one recorder.</summary>
/// <param name="Kind">Names a group of rows of the table.</param>
/// <param name="Source">Whose clip it is; the recorder's own talk where the two belong together.</param>
/// <param name="Clip">Null where the sound is no talk at all; its name is then in <paramref name="Kind"/>.</param>
/// <param name="From">Seconds of the clip left away at its beginning.</param>
/// <param name="Seconds">Length of the clip.</param>
/// <param name="RecorderFrom">The recorder begins only here.</param>
/// <param name="RecorderUntil">The recorder is cut off here.</param>
internal sealed record Trial(
    string Kind, Talk Recorder, Talk Source, ClipTruth? Clip, double SnrDb, double From, double Seconds,
    double RecorderFrom, double RecorderUntil, bool Belongs, ulong Seed = 0)
{
    /// <summary>What both hold, in seconds of the clip as it is asked.</summary>
    internal (double Start, double End) Inside => Clip is null || !Belongs
        ? (0, Seconds)
        : (Math.Max(0, RecorderFrom - Clip.InRecorder(From)), Math.Min(Seconds, RecorderUntil - Clip.InRecorder(From)));

    internal bool IsWholeRecorder => RecorderFrom == 0 && RecorderUntil >= Recorder.Plan.Seconds;
}

/// <summary>What the aligner said of it.</summary>
/// <param name="ErrorMs">Of the middle of what clip and recorder share, where there is a guess; positive where it lies too late.</param>
/// <param name="PpmSigma">The standard error that the aligner claims.</param>
/// <param name="WorstMs">Largest error anywhere in what they share.</param>
/// <param name="SigmaMs">The standard error of the offset that the aligner claims.</param>
/// <param name="InsideSeconds">Length of what they share.</param>
/// <param name="SubjectShare">Share of the clip in which the subject speaks.</param>
internal sealed record TrialResult(
    string Kind, string Recorder, double Seconds, double SnrDb, double Rt60, bool IsFar, double DirectToReverberantDb,
    double Ppm, bool Belongs, string Outcome, double Certainty, double? ErrorMs, double? PpmError, double? PpmSigma,
    double? WorstMs = null, double? SigmaMs = null, double InsideSeconds = 0, double SubjectShare = 0,
    int RateHz = 48_000, string? Noise = null, double WarmingPpm = 0, string? ClipName = null)
{
    /// <summary>A clip that is off by more than a frame is not where it belongs.</summary>
    private const double WrongMs = 40;

    internal bool IsPlaced => Outcome == "Placed";

    /// <summary>A place was named, be it sure enough or not.</summary>
    internal bool IsGuess => Certainty > 0;

    internal bool IsRight => Belongs && Math.Abs(ErrorMs ?? double.PositiveInfinity) <= WrongMs;

    internal bool IsFalse => IsPlaced && !IsRight;
}
