using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Signal;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>Finds a proof of sync for each device in each take: the longest clip of the device against the reference's.</summary>
public static class SyncProofs
{
    /// <summary>A consonant lasts some 10 to 20 ms (from memory): on this scale an error of half a millisecond is seen.</summary>
    internal static readonly MediaTime Shown = MediaTime.FromMilliseconds(20);

    private const int Rate = (int)SoundTrack.SamplesPerSecond;
    private const double PlayedS = 6, SearchedS = 60;

    /// <summary>Peak of each ear, a quarter of full scale: nobody should be startled.</summary>
    private const float Peak = 0.25f;

    /// <param name="sound">Of a file, at the analysis rate; null where it was not read.</param>
    public static async Task<ImmutableArray<SyncProof>> FindAsync(
        DumpResult result, Func<MediaFile, SoundStore?> sound, CancellationToken cancellation)
    {
        Device? reference = result.Clocks.FirstOrDefault(clock => clock.IsReference)?.Device;
        (Take Take, Placement Against, Placement Clip)[] pairs = [.. result.Takes.SelectMany(take => Pairs(take.Take, reference))];
        var proofs = new SyncProof?[pairs.Length];
        var options = new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount };
        await Parallel.ForEachAsync(Enumerable.Range(0, pairs.Length), options, async (i, stop) =>
        {
            (Take take, Placement against, Placement clip) = pairs[i];
            if (Heard.Of(against, sound) is { } left && Heard.Of(clip, sound) is { } right
                && Consonant(left, against.CommonRange.Intersect(clip.CommonRange).Intersect(take.CommonRange)) is { } at)
            {
                proofs[i] = new SyncProof(
                    take, against.Clip.File, clip, at, left.Drawn(at), right.Drawn(at),
                    await PlayerAsync(left.Around(at, PlayedS), right.Around(at, PlayedS), stop));
            }
        });
        return [.. proofs.OfType<SyncProof>()];
    }

    /// <summary>The longest clip of the reference with the longest of each other device.</summary>
    private static IEnumerable<(Take Take, Placement Against, Placement Clip)> Pairs(Take take, Device? reference) =>
        Longest(take.Placements.Where(clip => clip.Clip.Device == reference), take) is { } against
            ? take.Placements.Where(clip => clip.Clip.Device != reference).GroupBy(clip => clip.Clip.Device)
                .Select(device => Longest(device, take)).OfType<Placement>().Select(clip => (take, against, clip))
            : [];

    private static Placement? Longest(IEnumerable<Placement> clips, Take take) =>
        clips.Where(clip => !clip.CommonRange.Intersect(take.CommonRange).IsEmpty)
            .MaxBy(clip => clip.CommonRange.Intersect(take.CommonRange).Duration);

    /// <summary>Where the reference rises most steeply in the middle of the range: that is how a plosive ends.</summary>
    private static MediaTime? Consonant(Heard heard, TimeRange range)
    {
        double seconds = Math.Min(SearchedS, range.Duration.ToSeconds() - PlayedS);
        if (seconds <= 0)
        {
            return null;
        }

        MediaTime middle = range.Start + MediaTime.FromSeconds(range.Duration.ToSeconds() / 2);
        ImmutableArray<float> wave = heard.Around(middle, seconds);
        const int frame = Rate / 200;
        double[] energy = [.. Enumerable.Range(0, wave.Length / frame).Select(i =>
            Enumerable.Range(i * frame, frame).Sum(n => (double)wave[n] * wave[n]))];
        if (energy.Length < 6)
        {
            return null;
        }

        int steepest = Enumerable.Range(4, energy.Length - 5).MaxBy(i => energy[i] - (8 * energy[(i - 4)..i].Max()));
        return middle - MediaTime.FromSeconds(seconds / 2) + MediaTime.FromUnits(steepest * frame, SoundBlock.AnalysisRate);
    }

    private static Task<ImmutableArray<byte>> PlayerAsync(
        ImmutableArray<float> left, ImmutableArray<float> right, CancellationToken cancellation) =>
        Mp3.OfAsync([.. Level(left).Zip(Level(right)).SelectMany(pair => new[] { pair.First, pair.Second })], Rate, cancellation);

    private static IEnumerable<float> Level(ImmutableArray<float> wave)
    {
        float gain = Peak / Math.Max(1e-6f, wave.Max(Math.Abs));
        return wave.Select(sample => sample * gain);
    }

    /// <summary>The mic that a clip was placed by.</summary>
    private sealed record Heard(Placement Placement, MicChannel Mic, SoundStore Store)
    {
        internal static Heard? Of(Placement placement, Func<MediaFile, SoundStore?> sound) =>
            sound(placement.Clip.File) is { } store
            && placement.Clip.Mics.Where(mic => mic.Role != MicRole.Timecode && mic.Channel < store.Channels).MinBy(mic => Delay(placement, mic)) is { } mic
                ? new Heard(placement, mic, store) : null;

        /// <summary>What it heard so many seconds around a common time.</summary>
        internal ImmutableArray<float> Around(MediaTime onCommon, double seconds)
        {
            int half = (int)Math.Round(seconds * Rate / 2);
            const int margin = 32;
            double position = Placement.ToMicTime(Mic, onCommon).ToSeconds() * Rate;
            long first = (long)Math.Floor(position);
            var wave = new float[(2 * half) + (2 * margin)];
            Store.Read(Mic.Channel, first - half - margin, wave);
            return [.. FractionalDelay.Advance(wave, position - first).AsSpan(margin, 2 * half)];
        }

        /// <summary>The same at the scale of the picture, less the rumble under it: a mean over 10 ms.</summary>
        internal ImmutableArray<float> Drawn(MediaTime onCommon)
        {
            const int half = Rate / 200;
            ImmutableArray<float> wave = Around(onCommon, Shown.ToSeconds() + (2.0 * half / Rate));
            return [.. Enumerable.Range(half, wave.Length - (2 * half)).Select(n =>
                wave[n] - wave.AsSpan(n - half, (2 * half) + 1).ToArray().Average())];
        }

        private static MediaTime Delay(Placement placement, MicChannel mic) =>
            MediaTime.Abs(placement.MicDelays.FirstOrDefault(delay => delay.Mic == mic)?.Delay ?? MediaTime.Zero);
    }
}
