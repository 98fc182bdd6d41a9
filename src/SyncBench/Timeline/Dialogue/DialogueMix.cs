using System.Collections.Immutable;
using SyncBench.Signal.Loudness;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>One take's dialogue while its stretches come in; joins them when all are there.</summary>
internal sealed class DialogueMix : IDisposable
{
    /// <summary>
    /// Highest true peak: −1 dB relative to full scale (EBU R 128), and a tenth by which meters may differ.
    /// </summary>
    private const double CeilingDb = -1.1;

    private const int MeasuredAtOnce = 1 << 14;

    private readonly DialoguePlan _plan;
    private readonly DialogueTrack _track;

    /// <param name="track">Empty, as long as the plan says; goes to whoever asks to <see cref="Finish"/>.</param>
    internal DialogueMix(DialoguePlan plan, DialogueTrack track)
    {
        _plan = plan;
        _track = track;
        Slots = [.. plan.Stretches.Select((stretch, i) => new Slot(stretch, _track, Overlap(i - 1), Overlap(i)))];
    }

    /// <summary>One for each stretch, in order.</summary>
    internal ImmutableArray<Slot> Slots { get; }

    /// <summary>Crossfades, measures, and says by how much it has to be lowered.</summary>
    internal DialogueSound Finish()
    {
        var changes = ImmutableArray.CreateBuilder<DialogueChange>();
        for (int i = 0; i + 1 < Slots.Length; i++)
        {
            DialogueStretch left = _plan.Stretches[i], right = _plan.Stretches[i + 1];
            double correlation = 0;
            if (left.Ends == Edge.Crossfade)
            {
                (float[] tail, float[] head) = (Slots[i].Tail, Slots[i + 1].Head);
                correlation = Crossfade.Correlation(tail, head);
                _track.Write(right.First, Crossfade.Mix(tail, head, correlation));
            }

            if (left.Ends != Edge.Join)
            {
                changes.Add(new DialogueChange(right.First, Overlap(i), correlation, left.Source, right.Source));
            }
        }

        LoudnessFigures measured = Measure();
        double gainDb = Math.Min(0, CeilingDb - measured.TruePeakDb);
        return new DialogueSound(
            _plan.Take, _plan.TimeReference, _plan.CommonStart, _track, changes.ToImmutable(),
            Math.Pow(10, gainDb / 20), measured.Raised(gainDb));
    }

    public void Dispose() => _track.Dispose();

    /// <summary>Samples that a stretch shares with the next.</summary>
    private int Overlap(int i) => i >= 0 && i + 1 < _plan.Stretches.Length
        ? (int)Math.Max(0, _plan.Stretches[i].End - _plan.Stretches[i + 1].First)
        : 0;

    private LoudnessFigures Measure()
    {
        var meter = new LoudnessMeter(Rate.Hz48000.Numerator);
        var samples = new float[MeasuredAtOnce];
        for (long done = 0; done < _track.Samples; done += samples.Length)
        {
            Span<float> some = samples.AsSpan(0, (int)Math.Min(samples.Length, _track.Samples - done));
            _track.Read(done, some);
            meter.Add(some);
        }

        LoudnessTrack measured = meter.Finish();
        return LoudnessFigures.Of(measured.Powers, measured.Peaks.ToArray().Max());
    }

    /// <summary>Where one stretch is rendered; it starts when the rate of its clip's sound is known.</summary>
    internal sealed class Slot(DialogueStretch stretch, DialogueTrack track, int headLength, int tailLength)
    {
        private StretchRendering? _rendering;

        internal DialogueStretch Stretch => stretch;

        /// <summary>What it shares with its neighbours; silence where its clip gave no sound at all.</summary>
        internal float[] Head => _rendering?.Head ?? new float[headLength];

        internal float[] Tail => _rendering?.Tail ?? new float[tailLength];

        internal StretchRendering Start(int sampleRateHz) =>
            _rendering = new StretchRendering(stretch, track, sampleRateHz, headLength, tailLength);
    }
}
