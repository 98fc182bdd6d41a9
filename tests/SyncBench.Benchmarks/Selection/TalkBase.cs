using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Signal;

namespace SyncBench.Benchmarks.Selection;

/// <summary>A mic of a rendering.</summary>
/// <param name="SnrDb">Subject's speech above pink noise, 200 to 7500 Hz.</param>
internal sealed record MicPlan(string Name, MicRole Role, Point At, PickupPattern Pattern, double SpeechDb, double SnrDb)
{
    /// <summary>Whether the room is louder at the mic than the talker: what the judgement of room sound is held against.</summary>
    internal double DirectToReverberantDb(ShoeboxRoom room, Point talker) =>
        room.Response(talker, At, Pattern).DirectToReverberantDb();
}

/// <summary>A talk in a room as its mics hear it, before noise and faults.</summary>
internal sealed record BasePlan(
    string Name, ulong Seed, double Seconds, Talker Subject, Talker Interviewer, double Rt60,
    IReadOnlyList<MicPlan> Mics);

/// <summary>Speech of each mic in units of its <see cref="MicPlan.SpeechDb"/>, and when whoever speaks, in seconds of common time.</summary>
/// <param name="Subject">The stretches of <paramref name="Spoken"/> that are the subject's.</param>
internal sealed record TalkBase(
    BasePlan Plan, float[][] Speech, IReadOnlyList<(double From, double To)> Spoken, IReadOnlyList<(double From, double To)> Subject, IReadOnlyList<double> DirectToReverberantDb)
{
    private float[]? _voice;

    /// <summary>What the closest mic hears of anybody above 80 Hz: a synthesiser's offset is not heard.</summary>
    internal float[] Voice => _voice ??= Above80Hz(Speech[0]);

    private static float[] Above80Hz(float[] sound)
    {
        var above = (float[])sound.Clone();
        foreach (double q in (double[])[0.541, 1.307]) // Butterworth, fourth order
        {
            Biquad.HighPass(Air.SampleRateHz, 80, q).Process(above, above);
        }

        return above;
    }
}
