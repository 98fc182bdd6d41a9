using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>One channel of a clip on its way through alignment: its samples and its envelope.</summary>
internal sealed record SoundTrack(HeardClip Clip, int Channel, SpeechEnvelope Envelope)
{
    internal const double SamplesPerSecond = 16_000;
    internal const double StepsPerSecond = 100;

    /// <summary>
    /// Where the clip's clock jumps, in order and in whole samples. The track then reads as if nothing had been lost: with silence for what is,
    /// and without what came twice.
    /// </summary>
    internal ImmutableArray<JumpAt> Jumps { get; init; } = [];

    internal double Seconds => (Clip.Sound.Samples + Jumps.Sum(jump => jump.Lost)) / SamplesPerSecond;

    internal void Read(long firstSample, Span<float> samples)
    {
        if (Jumps.IsEmpty)
        {
            Clip.Sound.Read(Channel, firstSample, samples);
            return;
        }

        // From the last stretch to the first, so that of sound that came twice the first remains.
        samples.Clear();
        long shift = (long)Jumps.Sum(jump => jump.Lost), end = long.MaxValue;
        for (int i = Jumps.Length; i >= 0; i--)
        {
            long start = i == 0 ? long.MinValue / 2 : (long)Jumps[i - 1].At;
            long from = Math.Max(firstSample, start + shift), to = Math.Min(firstSample + samples.Length, end);
            if (from < to)
            {
                Clip.Sound.Read(Channel, from - shift, samples.Slice((int)(from - firstSample), (int)(to - from)));
            }

            shift -= i == 0 ? 0 : (long)Jumps[i - 1].Lost;
            end = start + shift;
        }
    }

    internal double LevelDb(double startSeconds, double seconds) =>
        Envelope.MeanLevelDb(Step(startSeconds), (int)Math.Round(seconds * StepsPerSecond));

    internal double LoudnessDb(double startSeconds, double seconds) =>
        Envelope.LoudnessDb(Step(startSeconds), (int)Math.Round(seconds * StepsPerSecond));

    /// <summary>Seconds of the clip as it is to those of the track.</summary>
    internal double WholeSeconds(double clipSeconds) =>
        JumpedTime.ToWhole(Jumps.AsSpan(), clipSeconds * SamplesPerSecond) / SamplesPerSecond;

    /// <summary>Seconds of the track to those of the clip as it is.</summary>
    internal double ClipSeconds(double wholeSeconds) =>
        JumpedTime.ToClip(Jumps.AsSpan(), wholeSeconds * SamplesPerSecond) / SamplesPerSecond;

    private int Step(double wholeSeconds) => (int)Math.Round(ClipSeconds(wholeSeconds) * StepsPerSecond);
}
