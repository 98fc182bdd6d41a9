using System.Numerics.Tensors;
using SyncBench.Signal;

namespace SyncBench.Alignment;

/// <summary>
/// Whether a clip that was found in a recording fits it elsewhere as well: a loop of music that plays in the room
/// agrees with itself at every repetition, and speech in noise may not be heard enough to say which one it was.
/// </summary>
/// <remarks>
/// The middle of the clip is correlated as a whole (phase transform) with the recording for some minutes around the place
/// found, along the rate found. A peak elsewhere is a rival where it stands out of that correlation's own noise and is
/// nearly as high as the peak at the place.
/// </remarks>
internal sealed class RepeatSearch
{
    /// <summary>To both sides: loops are shorter.</summary>
    private const double ReachSeconds = 180;

    private const double QuerySeconds = 20;
    private const int BlockSize = 1 << 20;

    /// <summary>So long a piece of the query is taken as it stands; over it the rate found moves less than a sample.</summary>
    private const int PieceSamples = 2000;

    /// <summary>A frame and more: beyond it is no other talker and no reflection.</summary>
    internal const double SamePlaceSeconds = 0.06;

    /// <summary>Standard deviations by which the place itself has to show, or it is no better than any other.</summary>
    private const double Seen = 5;

    /// <summary>Standard deviations: of the six million places tried none is so high by chance (expected highest: 5.3).</summary>
    private const double Clear = 7;

    private const double NearlyAsHigh = 0.6;

    private readonly CrossCorrelator _correlator = new(BlockSize, SoundTrack.SamplesPerSecond, 200, 7500);
    private readonly float[] _reference = new float[BlockSize];
    private readonly float[] _query = new float[(int)(QuerySeconds * SoundTrack.SamplesPerSecond)];

    internal bool FitsElsewhere(SoundPair pair, LagLine line)
    {
        (double start, double end) = pair.Overlap(line.LagSeconds);
        double from = Math.Max(start, ((start + end) / 2) - (QuerySeconds / 2));
        Span<float> query = _query.AsSpan(0, (int)(Math.Min(end - from, QuerySeconds) * SoundTrack.SamplesPerSecond));
        ReadAlong(pair.Query, from, line.Ppm, query);

        long place = (long)((from + line.At(from)) * SoundTrack.SamplesPerSecond);
        long reach = (long)(ReachSeconds * SoundTrack.SamplesPerSecond), same = (long)(SamePlaceSeconds * SoundTrack.SamplesPerSecond);
        long last = Math.Min((long)(pair.Reference.Seconds * SoundTrack.SamplesPerSecond) - query.Length, place + reach);
        int lags = BlockSize - query.Length;
        double here = 0, elsewhere = 0;
        for (long first = Math.Max(0, place - reach); first < last; first += lags)
        {
            pair.Reference.Read(first, _reference);
            if (!_correlator.Load(_reference, query))
            {
                continue;
            }

            float[] row = new float[((int)Math.Min(lags, last - first) / 2 * 2) + 1];
            _correlator.Row(1, row.Length / 2, row);
            double spread = Statistics.NormalPerMad * Statistics.Median([.. row.Where((_, i) => i % 16 == 0).Select(Math.Abs)]);
            int near = (int)Math.Clamp(place - same - first, 0, row.Length), far = (int)Math.Clamp(place + same - first, 0, row.Length);
            here = Math.Max(here, Highest(row.AsSpan(near, far - near)) / spread);
            elsewhere = Math.Max(elsewhere, Math.Max(Highest(row.AsSpan(0, near)), Highest(row.AsSpan(far))) / spread);
        }

        return here < Seen || elsewhere > Math.Max(Clear, NearlyAsHigh * here);
    }

    private static float Highest(ReadOnlySpan<float> row) => row.IsEmpty ? 0 : TensorPrimitives.Max(row);

    /// <summary>As the reference's clock would have it.</summary>
    private static void ReadAlong(SoundTrack track, double fromSeconds, double ppm, Span<float> samples)
    {
        for (int at = 0; at < samples.Length; at += PieceSamples)
        {
            double seconds = fromSeconds + (at / SoundTrack.SamplesPerSecond / (1 + (ppm * 1e-6)));
            track.Read(
                (long)Math.Round(seconds * SoundTrack.SamplesPerSecond), samples.Slice(at, Math.Min(PieceSamples, samples.Length - at)));
        }
    }
}
