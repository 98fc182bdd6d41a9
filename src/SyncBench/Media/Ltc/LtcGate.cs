using System.Numerics.Tensors;

namespace SyncBench.Media.Ltc;

/// <summary>
/// Tells from a fiftieth of a second whether a channel may carry linear timecode: its edges come one bit or half a bit
/// apart and never otherwise, which speech and noise do not keep up for three of them.
/// </summary>
internal sealed class LtcGate(int rateHz)
{
    /// <summary>Of 80 bits a word: 24/1.001 words a second at 0.9 of nominal speed, 30 at 1.1.</summary>
    private const double SlowestBitsPerSecond = 80 * 24 / 1.001 * 0.9;

    private const double FastestBitsPerSecond = 80 * 30 * 1.1;

    /// <summary>Edges are moved by noise and by the sampling.</summary>
    private const double Slack = 0.12;

    private const int FewestEdges = 20;

    /// <summary>So many edges out of place are borne, for a click or a dropout.</summary>
    private const int MostMisplaced = 3;

    private readonly float[] _probe = new float[rateHz / 50];
    private readonly double _shortest = rateHz / FastestBitsPerSecond * (1 - Slack);
    private readonly double _longest = rateHz / SlowestBitsPerSecond * (1 + Slack);

    /// <summary>How many samples it looks at.</summary>
    internal int Samples => _probe.Length;

    /// <param name="samples">At least <see cref="Samples"/>.</param>
    /// <returns>Length of a bit in samples; null where this is no timecode.</returns>
    internal double? BitSamples(ReadOnlySpan<float> samples)
    {
        ReadOnlySpan<float> part = samples[.._probe.Length];
        TensorPrimitives.Subtract(part, TensorPrimitives.Sum(part) / part.Length, _probe);
        float band = BiphaseDecoder.Band * TensorPrimitives.SumOfMagnitudes<float>(_probe) / part.Length;
        if (!(band > 1e-7f))
        {
            return null;
        }

        int edge = -1, misplaced = 0, longs = 0, halves = 0;
        double longSum = 0, halfSum = 0;
        bool high = _probe[0] > 0;
        for (int i = 0; i < _probe.Length; i++)
        {
            float value = high ? _probe[i] : -_probe[i];
            if (value >= -band)
            {
                continue;
            }

            high = !high;
            int distance = i - edge;
            bool isFirst = edge < 0;
            edge = i;
            if (isFirst)
            {
                continue;
            }

            // The places of edges are whole samples here.
            if (distance >= _shortest - 1 && distance <= _longest + 1)
            {
                longs++;
                longSum += distance;
            }
            else if (distance >= (_shortest / 2) - 1 && distance <= (_longest / 2) + 1)
            {
                halves++;
                halfSum += distance;
            }
            else if (++misplaced > MostMisplaced)
            {
                return null;
            }
        }

        return longs + halves < FewestEdges ? null : longs > 0 ? longSum / longs : 2 * halfSum / halves;
    }
}
