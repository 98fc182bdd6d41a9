namespace SyncBench.Selection;

/// <summary>By how much more directly a mic hears a voice, against its echo, than another mic does.</summary>
/// <remarks>
/// Where a voice sets in there is no echo yet; where it has broken off there is nothing else, and that is about as loud everywhere in a
/// room. By how much one mic's level exceeds the other's in the first case, less the same in the second, does not depend on how either is
/// set. Medians over the bands and steps that count.
/// </remarks>
internal static class RelativeDirectness
{
    /// <summary>Half decibels above the noise.</summary>
    private const int Clear = 12;

    /// <summary>A voice sets in: half decibels by which it rises within so many steps.</summary>
    private const int SetsIn = 12;
    private const int Within = 3;

    /// <summary>It has broken off: half decibels by which it lies under what it was so many steps before.</summary>
    private const int BrokenOff = 12;
    private const int Before = 8;

    private const int Fewest = 30;
    private const int Centre = 256;

    /// <summary>dB; null where too little of a voice is heard by both.</summary>
    /// <param name="faulty">Steps of the mic that are left out.</param>
    /// <param name="otherFaulty">Steps of the other.</param>
    /// <param name="far">Steps of the grid that are left out.</param>
    public static double? Db(MicTrack mic, bool[] faulty, MicTrack other, bool[] otherFaulty, bool[] far)
    {
        int[] direct = new int[2 * Centre], echo = new int[2 * Centre];
        for (int step = Math.Max(mic.First, other.First) + Before; step < Math.Min(mic.End, other.End); step++)
        {
            if (!far[step] && !faulty[step - mic.First] && !otherFaulty[step - other.First])
            {
                Count(new Sound(mic, step), new Sound(other, step), direct, echo);
            }
        }

        return direct.Sum() < Fewest || echo.Sum() < Fewest ? null : (Median(direct) - Median(echo)) / 2.0;
    }

    private static void Count(Sound mic, Sound other, int[] direct, int[] echo)
    {
        for (int band = RoomEar.FirstBand; band < RoomEar.EndBand; band++)
        {
            if (mic.IsClear(band) && other.IsClear(band))
            {
                int difference = mic.Now[band] - other.Now[band] + Centre;
                direct[difference] += mic.SetsIn(band) && other.SetsIn(band) ? 1 : 0;
                echo[difference] += mic.HasBrokenOff(band) && other.HasBrokenOff(band) ? 1 : 0;
            }
        }
    }

    private static int Median(int[] counts)
    {
        int half = counts.Sum() / 2, value = 0;
        for (int seen = counts[0]; seen <= half; seen += counts[value])
        {
            value++;
        }

        return value;
    }

    /// <summary>The levels of a mic at a step, shortly before, and of its noise.</summary>
    private readonly ref struct Sound(MicTrack track, int step)
    {
        private readonly ReadOnlySpan<byte> _noise = track.Noise(step);
        private readonly ReadOnlySpan<byte> _just = track.Levels(step - Within);
        private readonly ReadOnlySpan<byte> _before = track.Levels(step - Before);

        public ReadOnlySpan<byte> Now { get; } = track.Levels(step);

        public bool IsClear(int band) => Now[band] >= _noise[band] + Clear;

        public bool SetsIn(int band) => Now[band] >= _just[band] + RelativeDirectness.SetsIn;

        public bool HasBrokenOff(int band) => Now[band] <= _before[band] - BrokenOff && Now[band] <= _just[band];
    }
}
