using SyncBench.Media;

namespace SyncBench.Alignment;

/// <summary>Two tracks of different devices of which we ask how they lie together.</summary>
internal sealed record SoundPair(SoundTrack Reference, SoundTrack Query)
{
    /// <summary>
    /// The far talker of an interview is at least so much quieter at a close mic: in a room that rings for 0.8 s a
    /// lavalier hears a voice at two metres only 9 dB below its wearer's (scripts/bench accuracy).
    /// </summary>
    internal const double FarTalkerDb = 6;

    /// <summary>The part of the query that is asked about, in its seconds: all of it, or one side of a jump.</summary>
    internal (double Start, double End) Part { get; init; } = (0, double.PositiveInfinity);

    /// <summary>What both hold, in query time, if the query lies at <paramref name="lagSeconds"/>.</summary>
    internal (double Start, double End) Overlap(double lagSeconds) => (
        Math.Max(Part.Start, Math.Max(0, -lagSeconds)),
        Math.Min(Part.End, Math.Min(Query.Seconds, Reference.Seconds - lagSeconds)));

    /// <summary>Where the reflections of the room are to be expected, from how close the two mics are by their role.</summary>
    internal Reflections Reflections => Closeness(Query).CompareTo(Closeness(Reference)) switch
    {
        < 0 => Reflections.AtLargerLags,
        > 0 => Reflections.AtSmallerLags,
        0 => Reflections.OnBothSides,
    };

    /// <summary>Level that speech of the talker at the closer mic reaches over that mic's whole clip.</summary>
    internal double LoudCloseLevelDb => Reflections switch
    {
        Reflections.AtLargerLags => Query.Envelope.LoudLevelDb,
        Reflections.AtSmallerLags => Reference.Envelope.LoudLevelDb,
        _ => double.NegativeInfinity,
    };

    /// <summary>How loud a window is at the closer mic: tells the talker who wears it from one far off.</summary>
    internal double CloseLevelDb(double queryStart, double lagSeconds, double seconds) =>
        Reflections == Reflections.AtLargerLags
            ? Query.LoudnessDb(queryStart, seconds)
            : Reference.LoudnessDb(queryStart + lagSeconds, seconds);

    private static int Closeness(SoundTrack track) => track.Clip.Clip.Mics[track.Channel].Role switch
    {
        MicRole.Lavalier => 0,
        MicRole.Boom => 1,
        MicRole.Shotgun => 2,
        _ => 3,
    };

    /// <summary>
    /// Places for windows, one in each of equal slots: where both tracks together are loudest, for there a talker
    /// speaks. In order; windows of different slots do not overlap.
    /// </summary>
    /// <returns>Starts of windows in query seconds.</returns>
    internal double[] WindowStarts(double lagSeconds, double windowSeconds, int slots)
    {
        (double start, double end) = Overlap(lagSeconds);
        double slot = (end - start) / slots;
        double[] starts = new double[slots];
        for (int i = 0; i < slots; i++)
        {
            double from = start + (i * slot), last = from + slot - windowSeconds;
            double loudest = double.NegativeInfinity;
            for (double at = from; at <= Math.Max(from, last) + 1e-9; at += windowSeconds / 8)
            {
                double level = Reference.LevelDb(at + lagSeconds, windowSeconds) + Query.LevelDb(at, windowSeconds);
                if (level > loudest)
                {
                    (loudest, starts[i]) = (level, at);
                }
            }
        }

        return starts;
    }
}
