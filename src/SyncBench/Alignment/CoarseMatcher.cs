using System.Collections.Concurrent;
using System.Numerics;
using System.Numerics.Tensors;
using SyncBench.Signal;

namespace SyncBench.Alignment;

/// <summary>A lag that coarse matching proposes.</summary>
/// <param name="LagSteps">Query time zero lies this many 10 ms steps after reference time zero; may be negative.</param>
/// <param name="Score">
/// Height over the spread of all lags. Unrelated speech reaches about 6 over four hours (extreme value of the null).
/// </param>
internal readonly record struct CoarseLag(int LagSteps, double Score);

/// <summary>
/// Correlates whole recordings by their envelopes and names the few lags worth a closer look.
/// </summary>
/// <remarks>
/// A long query is cut into pieces, so that drifting clocks do not smear its peak: 120 s at 100 ppm is 12 ms, about
/// one step. Cost: for each piece 7 transforms a little longer than the reference.
/// </remarks>
internal sealed class CoarseMatcher
{
    private const int PieceSteps = 12_000;

    /// <summary>A query that makes no two whole pieces stays whole.</summary>
    private const int LongestPiece = (2 * PieceSteps) - 1;

    private const int MaxPieces = 12;
    private const int MinOverlapSteps = 150;
    private const int SameLagSteps = 40;
    private const int MaxLags = 6;
    private const double LeastScore = 4.0;

    /// <summary>
    /// Looked at whatever their score: where a loom or a machine beats time through everything, all lags score alike.
    /// </summary>
    private const int LagsAtLeast = 2;

    private readonly SpeechEnvelope _reference;
    private readonly RealFft _fft;
    private readonly Lazy<float[][]> _spectra;
    private readonly ConcurrentStack<Scratch> _idle = []; // a bag would keep its own in the threads, beyond this matcher's end

    /// <summary>May be asked from several threads.</summary>
    internal CoarseMatcher(SpeechEnvelope reference)
    {
        _reference = reference;
        _fft = RealFft.OfSize((int)BitOperations.RoundUpToPowerOf2((uint)(reference.Steps + LongestPiece)));
        _spectra = new Lazy<float[][]>(ReferenceSpectra);
    }

    /// <returns>Best first; empty where nothing stands out.</returns>
    internal IReadOnlyList<CoarseLag> Find(SpeechEnvelope query)
    {
        if (_reference.IsStill || query.IsStill)
        {
            return [];
        }

        (int First, int Length)[] pieces = Pieces(query.Steps);
        float[][][] bands = // [band][piece]: cut while only one band is there in full
        [
            .. query.Bands().Select(band => Array.ConvertAll(pieces, piece => band[piece.First..(piece.First + piece.Length)])),
        ];
        Scratch scratch = _idle.TryPop(out Scratch? idle) ? idle : new Scratch(_fft);
        var found = new List<CoarseLag>();
        for (int piece = 0; piece < pieces.Length; piece++)
        {
            Span<float> scores = Scores([.. bands.Select(band => band[piece])], scratch);
            TakePeaks(scores, pieces[piece], found);
        }

        _idle.Push(scratch);
        return Merge(found);
    }

    private static (int First, int Length)[] Pieces(int steps)
    {
        int pieceSteps = Math.Min(steps, PieceSteps);
        int pieces = Math.Clamp(steps / pieceSteps, 1, MaxPieces);
        return pieces == 1
            ? [(0, steps)]
            : [.. Enumerable.Range(0, pieces).Select(piece => ((int)((long)(steps - pieceSteps) * piece / (pieces - 1)), pieceSteps))];
    }

    private static List<CoarseLag> Merge(List<CoarseLag> found)
    {
        found.Sort((left, right) => right.Score.CompareTo(left.Score));
        var merged = new List<CoarseLag>();
        foreach (CoarseLag lag in found)
        {
            int same = merged.FindIndex(m => Math.Abs(m.LagSteps - lag.LagSteps) <= SameLagSteps);
            if (same < 0)
            {
                merged.Add(lag);
            }
            else
            {
                CoarseLag known = merged[same];
                merged[same] = known with { Score = Math.Sqrt((known.Score * known.Score) + (lag.Score * lag.Score)) };
            }
        }

        merged.Sort((left, right) => right.Score.CompareTo(left.Score));
        return merged.Count > MaxLags ? merged[..MaxLags] : merged;
    }

    /// <summary>Entry i is the score of the piece starting at reference step i − length + MinOverlap.</summary>
    /// <returns>Part of the scratch.</returns>
    private Span<float> Scores(float[][] query, Scratch scratch)
    {
        int length = query[0].Length, minOverlap = MinOverlap(length);
        Span<float> scores = scratch.Scores.AsSpan(0, _reference.Steps + length - (2 * minOverlap) + 1);
        Correlate(query, scratch);
        for (int i = 0; i < scores.Length; i++)
        {
            int lag = i + minOverlap - length;
            int overlap = Math.Min(_reference.Steps, lag + length) - Math.Max(0, lag);
            scores[i] = scratch.Samples[lag < 0 ? lag + _fft.Size : lag] / MathF.Sqrt(overlap);
        }

        Span<float> heights = scratch.Samples.AsSpan(0, scores.Length);
        TensorPrimitives.Abs(scores, heights);
        float spread = (float)(Statistics.NormalPerMad * Statistics.Median(heights));
        TensorPrimitives.Divide(scores, Math.Max(spread, float.Epsilon), scores);
        return scores;
    }

    private int MinOverlap(int length) => Math.Min(MinOverlapSteps, Math.Min(length, _reference.Steps));

    private void Correlate(float[][] query, Scratch scratch)
    {
        Array.Clear(scratch.SumRe);
        Array.Clear(scratch.SumIm);
        for (int band = 0; band < query.Length; band++)
        {
            query[band].CopyTo(scratch.Samples, 0);
            scratch.Samples.AsSpan(query[band].Length).Clear();
            _fft.Forward(scratch.Samples, scratch.Re, scratch.Im);
            CrossSpectrum.Add(
                _spectra.Value[2 * band], _spectra.Value[(2 * band) + 1], scratch.Re, scratch.Im, scratch.SumRe, scratch.SumIm);
        }

        _fft.Inverse(scratch.SumRe, scratch.SumIm, scratch.Samples);
    }

    private float[][] ReferenceSpectra()
    {
        float[] padded = new float[_fft.Size];
        var spectra = new List<float[]>();
        foreach (float[] band in _reference.Bands())
        {
            band.CopyTo(padded, 0);
            (float[] re, float[] im) = (new float[_fft.Bins], new float[_fft.Bins]);
            _fft.Forward(padded, re, im);
            spectra.AddRange([re, im]);
        }

        return [.. spectra];
    }

    /// <summary>Takes the highest away one by one.</summary>
    private void TakePeaks(Span<float> scores, (int First, int Length) piece, List<CoarseLag> found)
    {
        for (int n = 0; n < MaxLags; n++)
        {
            int best = TensorPrimitives.IndexOfMax<float>(scores);
            if (!(scores[best] >= (n < LagsAtLeast ? 0 : LeastScore)))
            {
                return;
            }

            found.Add(new CoarseLag(best + MinOverlap(piece.Length) - piece.Length - piece.First, scores[best]));
            int from = Math.Max(0, best - SameLagSteps);
            scores[from..Math.Min(scores.Length, best + SameLagSteps + 1)].Fill(float.NegativeInfinity);
        }
    }

    /// <summary>Room for one query at a time: tens of megabytes for hours of reference, so it is used again.</summary>
    private sealed class Scratch(RealFft fft)
    {
        internal float[] Samples { get; } = new float[fft.Size];

        internal float[] Scores { get; } = new float[fft.Size];

        internal float[] Re { get; } = new float[fft.Bins];

        internal float[] Im { get; } = new float[fft.Bins];

        internal float[] SumRe { get; } = new float[fft.Bins];

        internal float[] SumIm { get; } = new float[fft.Bins];
    }
}
