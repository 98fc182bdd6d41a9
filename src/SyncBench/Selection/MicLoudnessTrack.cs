using SyncBench.Media;
using SyncBench.Signal.Loudness;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>One mic's loudness along a take, over all clips of its device, laid on the common clock.</summary>
/// <remarks>
/// Each step takes the clip's step nearest to it. Two clocks 50 ppm apart slip by one step in seven minutes: nothing that
/// a window of 400 ms would notice.
/// </remarks>
internal sealed class MicLoudnessTrack
{
    private readonly float[] _peaks;

    private MicLoudnessTrack(Device device, MicChannel mic, float[] powers, float[] peaks, double activeSpeechDb) =>
        (Device, Mic, Powers, _peaks, ActiveSpeechDb) = (device, mic, powers, peaks, activeSpeechDb);

    internal Device Device { get; }

    internal MicChannel Mic { get; }

    /// <summary>K-weighted power, one a step; NaN where the mic does not roll.</summary>
    internal float[] Powers { get; }

    internal float TruePeak => HighestPeak(0, _peaks.Length);

    internal double ActiveSpeechDb { get; }

    internal bool Holds(MicSource source) => source.Clip.Device == Device && source.Mic == Mic;

    internal float HighestPeak(int from, int to) => from < to ? _peaks[from..to].Max() : 0;

    internal static MicLoudnessTrack Of(
        Device device, MicChannel mic, TimeRange take, MicSource[] sources, Func<Clip, ClipSound> sound)
    {
        TakeGrid grid = TakeGrid.Over(take, LoudnessTrack.StepRate);
        var powers = new float[grid.Steps];
        var peaks = new float[grid.Steps];
        Array.Fill(powers, float.NaN);
        double speechEnergy = 0, speechSeconds = 0;
        foreach (MicSource source in sources)
        {
            ChannelLoudness measured = sound(source.Clip).Loudness[mic.Channel];
            Lay(measured.Track, source, grid, powers, peaks);
            (double levelDb, double seconds) = Speech(measured.Speech, source, take);
            if (double.IsFinite(levelDb))
            {
                speechEnergy += Math.Pow(10, levelDb / 10) * seconds;
                speechSeconds += seconds;
            }
        }

        return new MicLoudnessTrack(device, mic, powers, peaks, 10 * Math.Log10(speechEnergy / speechSeconds));
    }

    private static void Lay(LoudnessTrack track, MicSource source, TakeGrid grid, float[] powers, float[] peaks)
    {
        if (grid.Steps == 0)
        {
            return;
        }

        // Without the jumps a placement is a straight line, so two exact points give all the steps between them.
        ClockMap map = source.Placement.MapOf(source.Mic);
        JumpAt[] jumps = [.. map.Jumps.Select(jump => new JumpAt(Steps(jump.At), Steps(jump.Lost)))];
        map = map with { Jumps = [] };
        double first = Steps(map.ToClip(grid.MiddleOf(0)));
        double each = grid.Steps > 1 ? (Steps(map.ToClip(grid.MiddleOf(grid.Steps - 1))) - first) / (grid.Steps - 1) : 1;
        int stepsToPeak = LoudnessTrack.StepRate.Numerator / LoudnessTrack.PeakRate.Numerator;
        for (int step = 0; step < powers.Length; step++)
        {
            int clipStep = (int)Math.Floor(JumpedTime.ToClip(jumps, first + (each * step)));
            if (clipStep >= 0 && clipStep < track.Powers.Length)
            {
                powers[step] = track.Powers[clipStep];
                peaks[step] = track.Peaks[Math.Min(clipStep / stepsToPeak, track.Peaks.Length - 1)];
            }
        }

        static double Steps(MediaTime time) => time.ToSeconds() * LoudnessTrack.StepRate.PerSecond;
    }

    private static (double LevelDb, double Seconds) Speech(ActiveSpeech speech, MicSource source, TimeRange take)
    {
        double from = source.Placement.ToMicTime(source.Mic, take.Start).ToSeconds();
        double to = source.Placement.ToMicTime(source.Mic, take.End).ToSeconds();
        int first = (int)Math.Clamp(Math.Round(from), 0, speech.Seconds);
        int end = (int)Math.Clamp(Math.Round(to), first, speech.Seconds);
        return (speech.LevelDb(first..end), end - first);
    }
}
