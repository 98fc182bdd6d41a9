using SyncBench.Scenes;

namespace SyncBench.Tests.Pipeline;

/// <summary>Two people who talk in a hall (synthetic voices, image-method room), and mics near and far.</summary>
internal static class HallTalk
{
    private static readonly Point Hall = new(14, 7.4, 4.1);
    private static readonly Point Subject = new(2.1, 3.3, 1.22);
    private static readonly Point Lavalier = new(2.17, 3.3, 0.98);

    internal static double LavalierMetres => Subject.DistanceTo(Lavalier);

    internal static async Task<Scene> OfAsync(ulong seed, double seconds) =>
        Of(await Rehearsal.OfAsync(SmallTalk.Lines(seconds, seed), 0.5, breakSeconds: 0, seed), seconds, seed);

    internal static Scene Of(Rehearsal rehearsal, double seconds, ulong seed)
    {
        int length = (int)(seconds * Air.SampleRateHz);
        return new Scene(
            new ShoeboxRoom(Hall, 0.4),
            [
                .. rehearsal.Sentences.Where(sentence => sentence.Start < length).Select(sentence => new Utterance(
                    sentence.Line.Speaker == Speaker.Subject, sentence.Start, sentence.Samples,
                    sentence.Line.Speaker == Speaker.Subject ? Subject : new Point(4.1, 2.4, 1.25))),
            ],
            length, seed);
    }

    internal static Microphone Near(string name) => new(name, Lavalier, PickupPattern.AllRound, SpeechDb: -24, SnrDb: 30, RumbleDb: 4);

    internal static Microphone Far(string name, double metres, double snr) => new(
        name, new Point(Subject.X + metres, Subject.Y, Subject.Z), PickupPattern.AllRound, SpeechDb: -30, SnrDb: snr, RumbleDb: 6);
}
