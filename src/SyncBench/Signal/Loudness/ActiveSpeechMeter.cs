using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace SyncBench.Signal.Loudness;

/// <summary>Measures <see cref="ActiveSpeech"/> of one channel as it streams by, after ITU-T P.56 method B.</summary>
/// <remarks>
/// Constants of the recommendation (from memory): two exponential means of 30 ms one after the other, a hangover of
/// 200 ms, an envelope sampled at least 694 times a second. Here it is sampled every millisecond, from the mean magnitude
/// of that millisecond.
/// </remarks>
internal sealed class ActiveSpeechMeter
{
    private const int PerSecond = 1000;
    private const double TimeConstantSeconds = 0.03;
    private const int HangoverMilliseconds = 200;

    private static readonly float Keep = (float)Math.Exp(-1 / (PerSecond * TimeConstantSeconds));

    private static readonly Vector512<float> Thresholds = Vector512.Create<float>(
        [.. Enumerable.Range(0, ActiveSpeech.Thresholds).Select(ActiveSpeech.Threshold)]);

    private readonly float[] _frame; // one millisecond
    private readonly List<float> _meanSquares = [];
    private readonly List<ushort> _active = [];
    private Vector512<int> _sinceAbove = Vector512.Create(HangoverMilliseconds); // milliseconds, one a threshold
    private Vector512<int> _activeNow; // milliseconds of this second

    private int _held;
    private int _milliseconds;
    private double _sumOfSquares;
    private float _first, _second;

    /// <param name="rateHz">A multiple of 1000.</param>
    public ActiveSpeechMeter(int rateHz)
    {
        _frame = new float[rateHz / PerSecond];
    }

    public void Add(ReadOnlySpan<float> samples)
    {
        while (_held > 0 || samples.Length < _frame.Length)
        {
            int taken = Math.Min(samples.Length, _frame.Length - _held);
            samples[..taken].CopyTo(_frame.AsSpan(_held));
            samples = samples[taken..];
            _held += taken;
            if (_held < _frame.Length)
            {
                return;
            }

            Millisecond(_frame);
            _held = 0;
        }

        for (; samples.Length >= _frame.Length; samples = samples[_frame.Length..])
        {
            Millisecond(samples[.._frame.Length]);
        }

        samples.CopyTo(_frame);
        _held = samples.Length;
    }

    /// <summary>All whole seconds so far; the rest is left out.</summary>
    public ActiveSpeech Result() => new([.. _meanSquares], [.. _active]);

    private void Millisecond(ReadOnlySpan<float> samples)
    {
        (float squares, float magnitudes) = Sums(samples);
        _sumOfSquares += squares;
        _first = (Keep * _first) + ((1 - Keep) * magnitudes / samples.Length);
        _second = (Keep * _second) + ((1 - Keep) * _first);
        var isAbove = Vector512.GreaterThanOrEqual(Vector512.Create(_second), Thresholds).AsInt32();
        _sinceAbove = Vector512.AndNot(_sinceAbove + Vector512<int>.One, isAbove);
        _activeNow -= Vector512.LessThan(_sinceAbove, Vector512.Create(HangoverMilliseconds)); // true is −1

        if (++_milliseconds == PerSecond)
        {
            _meanSquares.Add((float)(_sumOfSquares / (PerSecond * _frame.Length)));
            for (int j = 0; j < ActiveSpeech.Thresholds; j++)
            {
                _active.Add((ushort)_activeNow[j]);
            }

            _activeNow = Vector512<int>.Zero;
            (_sumOfSquares, _milliseconds) = (0, 0);
        }
    }

    private static (float Squares, float Magnitudes) Sums(ReadOnlySpan<float> samples)
    {
        ReadOnlySpan<Vector256<float>> vectors = MemoryMarshal.Cast<float, Vector256<float>>(samples);
        Vector256<float> squares = Vector256<float>.Zero, magnitudes = squares;
        foreach (Vector256<float> vector in vectors)
        {
            squares += vector * vector;
            magnitudes += Vector256.Abs(vector);
        }

        (float square, float magnitude) = (Vector256.Sum(squares), Vector256.Sum(magnitudes));
        foreach (float sample in samples[(vectors.Length * Vector256<float>.Count)..])
        {
            square += sample * sample;
            magnitude += Math.Abs(sample);
        }

        return (square, magnitude);
    }
}
