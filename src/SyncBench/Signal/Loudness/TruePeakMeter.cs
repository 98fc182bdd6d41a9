using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace SyncBench.Signal.Loudness;

/// <summary>
/// The highest value of the sound between its samples: ITU-R BS.1770 annex 2, oversampling by four.
/// </summary>
/// <remarks>
/// <para>
/// Three values between every two samples, by a sinc under a Kaiser window; the samples themselves are the fourth. The
/// annex leaves the filter open and bounds its error: a sine at f is read low by at most −20·log10 cos(πf/(4·fs)),
/// 0.69 dB at half the sample rate.
/// </para>
/// <para>
/// Between samples a stretch can rise to its highest sample times the sum of a phase's absolute taps and no further, so
/// stretches that cannot raise the maximum are passed over: the answer is the same, and speech costs next to nothing.
/// </para>
/// </remarks>
internal sealed class TruePeakMeter
{
    private const int Taps = 16;
    private const int Before = (Taps / 2) - 1;
    private const int After = Taps - 1 - Before;
    private const int Stretch = 64;
    private const int Line = 4096;

    /// <summary>Side lobes 80 dB down: the window's error is then far below that of the oversampling.</summary>
    private const double AttenuationDb = 80;

    private static readonly float[][] Phases =
        [.. new[] { 0.25, 0.5, 0.75 }.Select(fraction => FirDesign.Between(Taps, Before, fraction, 0.5, Taps / 2.0, FirDesign.KaiserBeta(AttenuationDb)))];

    /// <summary>How far above its highest sample a stretch can rise.</summary>
    private static readonly float Rise = Phases.Max(phase => phase.Sum(Math.Abs));

    private readonly float[] _line = new float[Line];
    private int _filled = Before;
    private float _peak;

    public void Add(ReadOnlySpan<float> samples)
    {
        while (!samples.IsEmpty)
        {
            int taken = Math.Min(samples.Length, _line.Length - _filled);
            samples[..taken].CopyTo(_line.AsSpan(_filled));
            samples = samples[taken..];
            _filled += taken;
            Search();
        }
    }

    /// <summary>What is behind the last sample is silence; call before the last <see cref="Take"/>.</summary>
    public void Finish() => Add(new float[Stretch + After]);

    /// <summary>
    /// Highest magnitude since the last call, full scale 1. The last samples, less than 2 ms, belong to the next call.
    /// </summary>
    public float Take()
    {
        float peak = _peak;
        _peak = 0;
        return peak;
    }

    private void Search()
    {
        int at = 0;
        for (; at + Before + Stretch + After <= _filled; at += Stretch)
        {
            ReadOnlySpan<float> line = _line.AsSpan(at, Before + Stretch + After);
            if (Highest(line) * Rise > _peak)
            {
                Raise(line);
            }
        }

        _line.AsSpan(at, _filled - at).CopyTo(_line);
        _filled -= at;
    }

    private unsafe void Raise(ReadOnlySpan<float> line)
    {
        var highest = Vector512.Create(Math.Max(_peak, Highest(line.Slice(Before, Stretch))));
        fixed (float* at = line, first = Phases[0], half = Phases[1], last = Phases[2])
        {
            for (int n = 0; n < Stretch; n += Vector512<float>.Count)
            {
                Vector512<float> a = Vector512<float>.Zero, b = a, c = a;
                for (int k = 0; k < Taps; k++)
                {
                    Vector512<float> sample = Vector512.Load(at + n + k);
                    a = Vector512.FusedMultiplyAdd(Vector512.Create(first[k]), sample, a);
                    b = Vector512.FusedMultiplyAdd(Vector512.Create(half[k]), sample, b);
                    c = Vector512.FusedMultiplyAdd(Vector512.Create(last[k]), sample, c);
                }

                Vector512<float> between = Vector512.Max(Vector512.Abs(a), Vector512.Max(Vector512.Abs(b), Vector512.Abs(c)));
                highest = Vector512.Max(highest, between);
            }
        }

        _peak = Highest(highest);
    }

    private static float Highest(ReadOnlySpan<float> samples)
    {
        ReadOnlySpan<Vector512<float>> vectors = MemoryMarshal.Cast<float, Vector512<float>>(samples);
        var highest = Vector512<float>.Zero;
        foreach (Vector512<float> vector in vectors)
        {
            highest = Vector512.Max(highest, Vector512.Abs(vector));
        }

        float peak = Highest(highest);
        foreach (float sample in samples[(vectors.Length * Vector512<float>.Count)..])
        {
            peak = Math.Max(peak, Math.Abs(sample));
        }

        return peak;
    }

    private static float Highest(Vector512<float> magnitudes)
    {
        Vector256<float> eight = Vector256.Max(magnitudes.GetLower(), magnitudes.GetUpper());
        Vector128<float> four = Vector128.Max(eight.GetLower(), eight.GetUpper());
        return Math.Max(Math.Max(four[0], four[1]), Math.Max(four[2], four[3]));
    }
}
