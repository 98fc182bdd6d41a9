using System.Numerics;
using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>Finds where cloth or handling sounds on one mic: broadband sound that no other aligned mic hears.</summary>
/// <remarks>
/// Cloth that rubs on a mic is loud from 1 kHz up and is not in the room. What the talker may read on this mic at most
/// follows from each other mic: its level (the highest within 20 ms) moved by their <see cref="MicMatch"/>. What stands
/// above the lowest such limit, above this mic's own noise, and is not vouched for by another mic that clearly hears
/// something itself, is rustle. A noisy mic sets a high limit, so rustle that is weaker than the other mic's noise is
/// not found; a change of mic would not pay for it either. A nearer second voice lifts the bands under 1 kHz alike,
/// cloth does not. Comparison across aligned mics is common practice; the measure is this project's own. A mic that
/// nothing can be compared with shows no rustle.
/// </remarks>
internal static class RustleDetector
{
    private const int Bands = BandLevels.Bands;
    private const int BlockSteps = 512;

    private const int FirstMid = 6; // 315 Hz
    private const int FirstHigh = 11; // 1 kHz
    private const int Reach = 2;

    // All levels in half decibels, as they are coded.
    private const int Clear = 12;
    private const int AboveOwnNoise = 6;
    private const int FloorRise = 6;
    private const float Excess = 8;
    private const float Tilt = 4;

    /// <summary>Steps that show rustle, [mic][step of the mic].</summary>
    public static bool[][] Find(MicTrack[] tracks, MicMatches matches)
    {
        bool[][] found = [.. tracks.Select(track => new bool[track.Count])];
        byte[][] usual = [.. tracks.Select(UsualNoise)];
        int[][] others = [.. tracks.Select((_, mic) => matches.OthersOf(mic))];
        Block[] blocks = [.. tracks.Select(track => new Block(track))];
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
                    Find(mic, start, tracks[mic], blocks, others[mic], matches, usual[mic], found[mic]);
                }
            }
        }

        return found;
    }

    private static void Find(
        int mic, int start, MicTrack track, Block[] blocks, int[] others, MicMatches matches, byte[] usual, bool[] found)
    {
        float[][] halfDb = [.. others.Select(other => matches.Between(mic, other)!.HalfDb)];
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
            for (int i = 0; i < others.Length; i++)
            {
                Block other = blocks[others[i]];
                if (other.Sounds[step - start])
                {
                    Limit(other.Heard.AsSpan(row, Bands), other.Noise.AsSpan(row, Bands), halfDb[i], lowest, vouched);
                }
            }

            found[step - track.First] = !float.IsInfinity(lowest[FirstHigh])
                && IsRustle(levels, blocks[mic].Noise.AsSpan(row, Bands), usual, lowest, vouched);
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

    private static void Limit(
        ReadOnlySpan<byte> heard, ReadOnlySpan<byte> noise, float[] match, Span<float> lowest, Span<float> vouched)
    {
        for (int band = FirstMid; band < heard.Length; band++)
        {
            float limit = heard[band] + match[band];
            lowest[band] = Math.Min(lowest[band], limit);
            if (heard[band] - noise[band] >= Clear)
            {
                vouched[band] = Math.Max(vouched[band], limit);
            }
        }
    }

    private static bool IsRustle(
        ReadOnlySpan<byte> levels, ReadOnlySpan<byte> noise, byte[] usual, Span<float> lowest, Span<float> vouched)
    {
        float mid = 0, high = 0;
        for (int band = FirstMid; band < levels.Length; band++)
        {
            // Rustle that goes on lifts the floor too, so the floor counts only up to a little over what is usual.
            float own = Math.Min(noise[band], usual[band] + FloorRise) + AboveOwnNoise;
            float limit = Math.Max(Math.Max(lowest[band], vouched[band]), own);
            float excess = Math.Clamp(levels[band] - limit, -20, 60);
            if (band < FirstHigh)
            {
                mid += excess / (FirstHigh - FirstMid);
            }
            else
            {
                high += excess / (Bands - FirstHigh);
            }
        }

        return high >= Excess && high >= mid + Tilt;
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
    private sealed class Block(MicTrack track)
    {
        private readonly byte[] _rows = new byte[(BlockSteps + (2 * Reach)) * Bands];

        public byte[] Levels { get; } = new byte[BlockSteps * Bands];

        /// <summary>The highest level of each band within reach: a sound comes to two mics a few steps apart.</summary>
        public byte[] Heard { get; } = new byte[BlockSteps * Bands];

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

            for (int i = -Reach; i < BlockSteps + Reach; i++)
            {
                Span<byte> row = _rows.AsSpan((i + Reach) * Bands, Bands);
                if (!track.Rolls(start + i))
                {
                    row.Clear();
                    continue;
                }

                track.Levels(start + i).CopyTo(row);
                if (i is >= 0 and < BlockSteps)
                {
                    track.Noise(start + i).CopyTo(Noise.AsSpan(i * Bands));
                    Sounds[i] = track.MissingShare(start + i) == 0;
                }
            }

            _rows.AsSpan(Reach * Bands, Levels.Length).CopyTo(Levels);
            for (int at = 0; at < Heard.Length; at += Vector<byte>.Count)
            {
                var highest = new Vector<byte>(_rows, at);
                for (int shift = 1; shift <= 2 * Reach; shift++)
                {
                    highest = Vector.Max(highest, new Vector<byte>(_rows, at + (shift * Bands)));
                }

                highest.CopyTo(Heard, at); // 512 · 20 bytes are whole vectors
            }
        }
    }
}
