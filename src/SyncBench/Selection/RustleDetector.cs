using System.Numerics;
using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>Finds where cloth or handling sounds on one mic: broadband sound that no other aligned mic hears.</summary>
/// <remarks>
/// Cloth that rubs on a mic is loud from 1 kHz up and is not in the room. What the talker may read on this mic at most
/// follows from each other mic: its level (the highest within 20 ms) moved by their <see cref="MicMatch"/>. What stands
/// above the lowest such limit, above this mic's own noise, and is not vouched for by another mic that clearly hears
/// something itself, is rustle. A noisy mic sets a high limit, so rustle that is weaker than the other mic's noise is
/// not found; a change of mic would not pay for it either. Where the talker speaks who is nearer to this mic than the
/// rest of the talk (<see cref="NearerVoice"/>), the limit is his. A nearer voice lifts the bands under 1 kHz alike, too;
/// cloth does not. Comparison across aligned mics is common practice; the measure is this project's own. A mic that
/// nothing can be compared with shows no rustle.
/// </remarks>
internal static class RustleDetector
{
    private const int Bands = BandLevels.Bands;
    private const int BlockSteps = 512;

    private const int FirstLow = 1; // 100 Hz
    private const int FirstMid = SpeechBands.FirstMid;
    private const int FirstHigh = SpeechBands.FirstHigh;
    private const int Reach = Witness.Reach;
    private const int Answer = Witness.Answer;

    // All levels in half decibels, as they are coded.
    private const int AboveOwnNoise = 5;
    private const int FloorRise = 6;

    /// <summary>From here on it is rustle, and from there on traces of it, which count beside rustle only.</summary>
    public const int Excess = 5;
    private const int Traces = 4;
    private const float Tilt = 3;

    /// <summary>Half decibels above which the bands that stand out most speak for cloth.</summary>
    private const float EdgeExcess = 4;
    private const float StandsOut = 8;
    private const float Against = -0.3f;
    internal const float For = 6;
    private const float LeastCloth = 100;
    private const float ClothTilt = 17;

    /// <summary>One other mic alone may be far off or turned away: more is asked then.</summary>
    private const float OneWitness = 6;

    /// <summary>Under 300 Hz a band holds few cycles in a step, so single steps scatter more.</summary>
    private const int AboveOwnRumble = 11;

    /// <param name="Rustle">By how much each step is too loud above 1 kHz as cloth is, in half decibels; else 0.</param>
    /// <param name="Cloth">
    /// How much each step says for cloth or against it, as <see cref="Evidence"/> reads it, from the bands that stand out most: a
    /// voice hides the others.
    /// </param>
    /// <param name="Tilt">By how much those bands stand out more than those that do so most up to 1 kHz, in half decibels; NaN where none do.</param>
    internal sealed record Handling(byte[] Rustle, byte[] Cloth, Half[] Tilt)
    {
        private const int CodesEach = 8; // levels are whole half decibels, and the mean of four of them is halved
        private const int Neither = 3;

        public static Handling Nothing(int steps)
        {
            var nothing = new Handling(new byte[steps], new byte[steps], new Half[steps]);
            Array.Fill(nothing.Cloth, Code(Against));
            Array.Fill(nothing.Tilt, Half.NaN);
            return nothing;
        }

        /// <summary>Positive for cloth, negative against it, for <see cref="FaultSpans.LastOf"/>.</summary>
        public static float Evidence(byte cloth) => cloth == 0 ? Against : (float)(cloth - Neither) / CodesEach;

        public static byte Code(float evidence) =>
            evidence <= Against ? (byte)0 : (byte)Math.Min((evidence * CodesEach) + Neither, byte.MaxValue);
    }

    /// <summary>One for each mic, entry 0 of its arrays being <see cref="MicTrack.First"/>.</summary>
    /// <param name="steady">Steps of each mic whose noise floor is to be believed however high it is.</param>
    /// <param name="lost">Steps of each mic at which it is no witness.</param>
    /// <param name="nearer">As <see cref="NearerVoice"/> has it of each mic.</param>
    public static Handling[] Find(MicTrack[] tracks, MicMatches matches, bool[][] steady, bool[][] lost, bool[][] nearer)
    {
        Handling[] found = [.. tracks.Select(track => Handling.Nothing(track.Count))];
        byte[][] usual = [.. tracks.Select(UsualNoise)];
        int[][] others = [.. tracks.Select((_, mic) => matches.OthersOf(mic))];
        Block[] blocks = [.. tracks.Zip(lost, (track, gone) => new Block(track, gone))];
        int end = tracks.Length == 0 ? 0 : tracks.Max(track => track.End);
        for (int start = 0; start < end; start += BlockSteps)
        {
            foreach (Block block in blocks)
            {
                block.Load(start);
            }

            for (int mic = 0; mic < tracks.Length; mic++)
            {
                if (blocks[mic].Rolls && others[mic].Length > 0)
                {
                    Find(mic, start, tracks[mic], blocks, others[mic], matches, usual[mic], steady[mic], nearer[mic], found[mic]);
                }
            }
        }

        return found;
    }

    /// <summary>Whether it lasts long enough and leaves the bands under 1 kHz alone, as a nearer voice does not.</summary>
    public static bool IsCloth(float[] cloth, Half[] tilt, (int First, int End) span)
    {
        float[] tilts = [.. tilt[span.First..span.End].Where(steps => !Half.IsNaN(steps)).Select(steps => (float)steps)];
        return cloth[span.First..span.End].Sum(evidence => Math.Min(evidence, For)) >= LeastCloth && tilts.Length > 0 && tilts.Average() >= ClothTilt;
    }

    private static void Find(
        int mic, int start, MicTrack track, Block[] blocks, int[] others, MicMatches matches, byte[] usual,
        bool[] steady, bool[] nearer, Handling found)
    {
        float[][] usually = [.. others.Select(other => matches.Between(mic, other)!.HalfDb)];
        float[][] most = [.. others.Select(other => matches.Between(mic, other)!.MostHalfDb)];
        Span<float> lowest = stackalloc float[Bands];
        Span<float> vouched = stackalloc float[Bands];
        int to = Math.Min(track.End, start + BlockSteps);
        for (int step = Math.Max(track.First, start); step < to; step++)
        {
            int row = (step - start) * Bands;
            ReadOnlySpan<byte> levels = blocks[mic].Levels.AsSpan(row, Bands);
            if (!ReachesAbove(levels, usual))
            {
                continue;
            }

            lowest.Fill(float.PositiveInfinity);
            vouched.Clear();
            int at = step - track.First, witnesses = 0;
            for (int i = 0; i < others.Length; i++)
            {
                Block other = blocks[others[i]];
                if (other.Sounds[step - start])
                {
                    witnesses++;
                    float[] match = nearer[at] ? most[i] : usually[i];
                    Witness.Narrow(other.Answered.AsSpan(row, Bands)[..FirstMid], other.Noise.AsSpan(row, Bands), match, FirstLow, lowest, vouched);
                    Witness.Narrow(other.Heard.AsSpan(row, Bands), other.Noise.AsSpan(row, Bands), match, FirstMid, lowest, vouched);
                }
            }

            if (witnesses == 0)
            {
                continue;
            }

            Excesses excess = Excesses.Of(levels, blocks[mic].Noise.AsSpan(row, Bands), usual, steady[at], lowest, vouched);
            float margin = witnesses == 1 ? OneWitness : 0;
            found.Cloth[at] = Handling.Code((excess.Top - EdgeExcess) / 2);
            found.Tilt[at] = excess.Top >= StandsOut ? (Half)(excess.Top - excess.MidTop) : Half.NaN;
            found.Rustle[at] = excess.High >= Traces + margin && excess.High >= excess.Mid + Tilt && excess.High >= excess.Low - Tilt
                ? (byte)(excess.High - margin)
                : (byte)0;
        }
    }

    /// <summary>A quick no for steps in which the high bands lie at the mic's usual noise.</summary>
    private static bool ReachesAbove(ReadOnlySpan<byte> levels, byte[] usual)
    {
        int above = 0;
        for (int band = FirstHigh; band < Bands; band++)
        {
            above += levels[band] - usual[band];
        }

        return above >= (Excess - 2) * (Bands - FirstHigh);
    }

    /// <summary>By how much a step stands above all that it may read, in half decibels.</summary>
    /// <param name="Low">Of the bands under 300 Hz together.</param>
    /// <param name="Mid">Mean of the bands up to 1 kHz.</param>
    /// <param name="High">Mean of the bands above.</param>
    /// <param name="Top">Mean of the four of these that stand out most.</param>
    /// <param name="MidTop">Mean of the two that stand out most of the bands up to 1 kHz: between its harmonics a voice has valleys.</param>
    private readonly record struct Excesses(float Low, float Mid, float High, float Top, float MidTop)
    {
        public static Excesses Of(
            ReadOnlySpan<byte> levels, ReadOnlySpan<byte> noise, byte[] usual, bool steady, Span<float> lowest, Span<float> vouched)
        {
            float low = 0, lowLimit = 0, mid = 0, high = 0;
            Span<float> each = stackalloc float[Bands - FirstHigh];
            Span<float> eachMid = stackalloc float[FirstHigh - FirstMid];
            for (int band = FirstLow; band < levels.Length; band++)
            {
                // Rustle that goes on lifts the floor too, so the floor counts only up to a little over what is usual.
                float own = (steady ? noise[band] : Math.Min(noise[band], usual[band] + FloorRise)) + (band < FirstMid ? AboveOwnRumble : AboveOwnNoise);
                float limit = Math.Max(Math.Max(lowest[band], vouched[band]), own);
                float excess = Math.Clamp(levels[band] - limit, -20, 60);
                if (band < FirstMid)
                {
                    // The strongest bands are compared, not band with band: a room's resonances differ from mic to mic.
                    low = Math.Max(low, levels[band]);
                    lowLimit = Math.Max(lowLimit, limit);
                }
                else if (band < FirstHigh)
                {
                    mid += excess / (FirstHigh - FirstMid);
                    eachMid[band - FirstMid] = excess;
                }
                else
                {
                    high += excess / (Bands - FirstHigh);
                    each[band - FirstHigh] = excess;
                }
            }

            each.Sort();
            eachMid.Sort();
            return new Excesses(low - lowLimit, mid, high, (each[^1] + each[^2] + each[^3] + each[^4]) / 4, (eachMid[^1] + eachMid[^2]) / 2);
        }
    }

    /// <summary>The median over the take of the mic's noise floor.</summary>
    private static byte[] UsualNoise(MicTrack mic)
    {
        var usual = new byte[Bands];
        var floors = new List<byte>();
        for (int band = 0; band < usual.Length; band++)
        {
            floors.Clear();
            for (int step = mic.First; step < mic.End; step += 50)
            {
                floors.Add(mic.Noise(step)[band]);
            }

            floors.Sort();
            usual[band] = floors[floors.Count / 2];
        }

        return usual;
    }

    /// <summary>Some steps of one mic side by side, so that each is looked up once for all the mics it judges.</summary>
    private sealed class Block(MicTrack track, bool[] lost)
    {
        private readonly byte[] _rows = new byte[(BlockSteps + Answer + Reach) * Bands];

        public byte[] Levels { get; } = new byte[BlockSteps * Bands];

        /// <summary>The highest level of each band within reach: a sound comes to two mics a few steps apart.</summary>
        public byte[] Heard { get; } = new byte[BlockSteps * Bands];

        /// <summary>The same, and what the room may still answer to.</summary>
        public byte[] Answered { get; } = new byte[BlockSteps * Bands];

        public byte[] Noise { get; } = new byte[BlockSteps * Bands];

        /// <summary>Whether the mic rolls and is not cut off.</summary>
        public bool[] Sounds { get; } = new bool[BlockSteps];

        public bool Rolls { get; private set; }

        public void Load(int start)
        {
            Rolls = track.First < start + BlockSteps && track.End > start;
            Array.Clear(Sounds);
            if (!Rolls)
            {
                return;
            }

            for (int i = -Answer; i < BlockSteps + Reach; i++)
            {
                Span<byte> row = _rows.AsSpan((i + Answer) * Bands, Bands);
                if (!track.Rolls(start + i))
                {
                    row.Clear();
                    continue;
                }

                track.Levels(start + i).CopyTo(row);
                if (i is >= 0 and < BlockSteps)
                {
                    track.Noise(start + i).CopyTo(Noise.AsSpan(i * Bands));
                    Sounds[i] = !lost[start + i - track.First];
                }
            }

            _rows.AsSpan(Answer * Bands, Levels.Length).CopyTo(Levels);
            for (int at = 0; at < Heard.Length; at += Vector<byte>.Count)
            {
                // 512 · 20 bytes are whole vectors
                Vector<byte> heard = Highest(at, Answer - Reach, Answer + Reach);
                heard.CopyTo(Heard, at);
                Vector.Max(heard, Highest(at, 0, Answer - Reach - 1)).CopyTo(Answered, at);
            }
        }

        /// <summary>Of the rows from the first to the last, counted from <see cref="Answer"/> before a step.</summary>
        private Vector<byte> Highest(int at, int first, int last)
        {
            var highest = new Vector<byte>(_rows, at + (first * Bands));
            for (int row = first + 1; row <= last; row++)
            {
                highest = Vector.Max(highest, new Vector<byte>(_rows, at + (row * Bands)));
            }

            return highest;
        }
    }
}
