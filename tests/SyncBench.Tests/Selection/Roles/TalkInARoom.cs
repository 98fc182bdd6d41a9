using SyncBench.Scenes;
using SyncBench.Signal;

namespace SyncBench.Tests.Selection.Roles;

/// <summary>Ines Harrow and Tom Brandt talk for 40 s in a room (image method), and mics of every kind hear it, at the analysis rate.</summary>
public sealed class TalkInARoom : IAsyncLifetime
{
    private const double Seconds = 40;

    private static readonly Point Ines = PairScene.Subject, Tom = PairScene.Interviewer, Camera = new(Ines.X + 2.5, Ines.Y + 0.3, Ines.Z + 0.3);

    private Scene _scene = null!;

    internal float[] Lavalier => Hear(new("lavalier", PairScene.Lavalier, PickupPattern.AllRound, SpeechDb: -24, SnrDb: 30, RumbleDb: 4));

    /// <summary>As quiet as the lavalier, so that the room alone tells them apart: 0.85 m from the mouth, above the picture.</summary>
    internal float[] Boom => Hear(new("boom", new Point(Ines.X + 0.5, Ines.Y, Ines.Z + 0.7), PickupPattern.Supercardioid(Ines), SpeechDb: -24, SnrDb: 22, RumbleDb: 4));

    internal float[] LavalierOfTom => Hear(new("lavalier 2", new Point(Tom.X - 0.07, Tom.Y, Tom.Z - 0.24), PickupPattern.AllRound, SpeechDb: -30, SnrDb: 24, RumbleDb: 4));

    internal float[] Shotgun => Hear(new("shotgun", Camera with { Z = Camera.Z + 0.1 }, PickupPattern.Supercardioid(Ines), SpeechDb: -26, SnrDb: 22, RumbleDb: 6));

    internal float[] Onboard => Hear(new("left", Camera, PickupPattern.AllRound, SpeechDb: -30, SnrDb: 14, RumbleDb: 8));

    internal float[] OnboardRight => Hear(new("right", Camera with { Y = Camera.Y + 0.04 }, PickupPattern.AllRound, SpeechDb: -30, SnrDb: 14, RumbleDb: 8));

    /// <summary>What is no voice: a line that is not connected.</summary>
    internal static float[] Hiss => Noise.Pink((int)(Seconds * 16_000), new SeededRandom(4, "hiss"));

    public async Task InitializeAsync()
    {
        Rehearsal rehearsal = await Rehearsal.OfAsync(SmallTalk.Lines(Seconds, 5), 0.5, breakSeconds: 0, 5);
        int length = (int)(Seconds * Air.SampleRateHz);
        _scene = new Scene(
            new ShoeboxRoom(PairScene.RoomSize, 0.5),
            [
                .. rehearsal.Sentences.Where(sentence => sentence.Start < length).Select(sentence => new Utterance(
                    sentence.Line.Speaker == Speaker.Subject, sentence.Start, sentence.Samples, sentence.Line.Speaker == Speaker.Subject ? Ines : Tom)),
            ],
            length, 5);
    }

    public Task DisposeAsync() => Task.CompletedTask;

    private float[] Hear(Microphone mic)
    {
        float[] sound = _scene.Hear(mic);
        var resampler = new RationalResampler(Air.SampleRateHz, 16_000);
        var heard = new float[resampler.MaxOutput(sound.Length) + resampler.MaxOutput(0)];
        int count = resampler.Process(sound, heard);
        return heard[..count];
    }
}
