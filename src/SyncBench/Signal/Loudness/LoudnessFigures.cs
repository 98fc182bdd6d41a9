namespace SyncBench.Signal.Loudness;

/// <summary>The loudness of a stretch of sound as EBU R 128 has it. Silence is −∞ LUFS.</summary>
/// <param name="IntegratedLufs">ITU-R BS.1770, gated; −∞ where no block passes the gate.</param>
/// <param name="RangeLu">EBU Tech 3342; 0 where there is less than one window above the gate.</param>
/// <param name="ShortTermLufs">The highest: windows of 3 s.</param>
/// <param name="MomentaryLufs">The highest: windows of 400 ms.</param>
/// <param name="TruePeakDb">dB relative to full scale, between samples.</param>
public sealed record LoudnessFigures(
    double IntegratedLufs, double RangeLu, double ShortTermLufs, double MomentaryLufs, double TruePeakDb)
{
    /// <summary>Programme loudness of EBU R 128.</summary>
    public const double TargetLufs = -23;

    /// <summary>What the sound has to be raised by to meet the target; null where there is nothing to raise.</summary>
    public double? GainDb => double.IsFinite(IntegratedLufs) ? TargetLufs - IntegratedLufs : null;

    /// <summary>The same sound, louder by so much. Only where it crosses the absolute gate would a new measurement differ.</summary>
    public LoudnessFigures Raised(double db) => this with
    {
        IntegratedLufs = IntegratedLufs + db,
        ShortTermLufs = ShortTermLufs + db,
        MomentaryLufs = MomentaryLufs + db,
        TruePeakDb = TruePeakDb + db,
    };

    /// <param name="powers">As in <see cref="LoudnessTrack"/>; NaN where there is no sound to be judged.</param>
    /// <param name="truePeak">Full scale 1.</param>
    public static LoudnessFigures Of(ReadOnlySpan<float> powers, float truePeak)
    {
        var windows = new LoudnessWindows(powers);
        return new LoudnessFigures(
            windows.Integrated(), windows.Range(), windows.HighestShortTerm(), windows.HighestMomentary(),
            20 * Math.Log10(truePeak));
    }
}
