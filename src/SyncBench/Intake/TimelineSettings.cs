using SyncBench.Time;

namespace SyncBench.Intake;

/// <summary>Whether a timeline file holds one timeline or one for each take.</summary>
public enum TakeLayout
{
    /// <summary>One timeline on which the common clock runs through.</summary>
    Flat,

    /// <summary>A collection with a stack for each take.</summary>
    Nested,
}

/// <summary>How a timeline makes up for the drift of a recording's clock.</summary>
public enum DriftCorrection
{
    /// <summary>By cuts in pauses: every reader of timelines can do that.</summary>
    Cut,

    /// <summary>By a change of speed, which not every reader follows.</summary>
    Warp,
}

/// <summary>How the cut is written.</summary>
/// <param name="FrameRate">Of the timeline; null: that of most of the interview's picture.</param>
/// <param name="SoundDrift">Of sound; picture is always cut, on whole frames.</param>
/// <param name="DriftFrames">Share of a frame by which drift may put sound off before it is made up for.</param>
/// <param name="PolyWav">Whether all mics of a take are written as one file too.</param>
public sealed record TimelineSettings(
    double? FrameRate = null,
    TakeLayout Takes = TakeLayout.Flat,
    DriftCorrection SoundDrift = DriftCorrection.Cut,
    double DriftFrames = TimelineSettings.UsualDriftFrames,
    bool PolyWav = false)
{
    public const double UsualDriftFrames = 0.25;

    public static TimelineSettings Usual { get; } = new();

    /// <summary>The rate with timecode that was asked for; null where none was.</summary>
    internal Rate? AskedRate => FrameRate is { } asked and > 0 and < 1000
        ? TimecodeFormat.Standard(new Rate((int)Math.Round(asked * 1000), 1000)) : null;

    /// <returns>What is wrong with them; null where nothing is.</returns>
    internal string? Wrong() =>
        FrameRate is not null && AskedRate is null
            ? "the frame_rate of a timeline is one that has timecode: 23.976, 24, 25, 29.97, 30, 47.952, 48, 50, 59.94 or 60"
        : DriftFrames is not (>= 0.01 and <= 1) ? "drift_frames is a share of a frame, 0.01 to 1"
        : null;
}
