namespace SyncBench.Signal.Loudness;

/// <summary>Measures the <see cref="LoudnessTrack"/> of one channel of a stream, block by block.</summary>
internal sealed class LoudnessMeter(int rateHz)
{
    private readonly KWeightedPower _power = new(rateHz);
    private readonly TruePeakMeter _peak = new();
    private readonly List<float> _powers = [];
    private readonly List<float> _peaks = [];
    private long _position;

    public void Add(ReadOnlySpan<float> samples)
    {
        while (!samples.IsEmpty)
        {
            long end = StepStart(_powers.Count + 1);
            ReadOnlySpan<float> taken = samples[..(int)Math.Min(samples.Length, end - _position)];
            _power.Add(taken);
            _peak.Add(taken);
            _position += taken.Length;
            samples = samples[taken.Length..];
            if (_position == end)
            {
                EndStep(end - StepStart(_powers.Count));
            }
        }
    }

    /// <summary>Call once, when the sound is over.</summary>
    public LoudnessTrack Finish()
    {
        _peak.Finish();
        _peaks.Add(_peak.Take());
        return new LoudnessTrack([.. _powers], [.. _peaks]);
    }

    private void EndStep(long samples)
    {
        _powers.Add((float)(_power.Take() / samples));
        if (_powers.Count % (LoudnessTrack.StepRate.Numerator / LoudnessTrack.PeakRate.Numerator) == 0)
        {
            _peaks.Add(_peak.Take());
        }
    }

    /// <summary>Steps need not be whole numbers of samples: at 22.05 kHz they are 441, at 11.025 kHz 220 or 221.</summary>
    private long StepStart(long step) => step * rateHz / LoudnessTrack.StepRate.Numerator;
}
