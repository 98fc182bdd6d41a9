using SyncBench.Time;

namespace SyncBench.Media.Ltc;

/// <summary>Words that follow each other without a gap, each label the next one (backwards: the one before).</summary>
/// <param name="Words">How many, at least <see cref="Fewest"/>.</param>
/// <param name="FrameRate">The rate with timecode that is nearest to what was heard, if the labels count so.</param>
public sealed record LtcRun(LtcWord First, LtcWord Last, int Words, Rate FrameRate)
{
    /// <summary>Chance makes a word now and then out of a sync word's 16 bits, but no four in a row.</summary>
    internal const int Fewest = 4;

    public TimecodeFormat Format => TimecodeFormat.Of(FrameRate, First.DropFrame);
}

/// <summary>Timecode on one channel.</summary>
/// <param name="Channel">0-based.</param>
/// <param name="Share">Share of the channel's length that the runs cover.</param>
public sealed record LtcTrack(int Channel, int SampleRateHz, IReadOnlyList<LtcRun> Runs, double Share)
{
    /// <summary>
    /// A channel fed by a timecode generator carries timecode nearly all through; where a mic's pauses let some leak
    /// in, it is a mic still.
    /// </summary>
    public bool FillsTheChannel => Share > 0.5;
}
