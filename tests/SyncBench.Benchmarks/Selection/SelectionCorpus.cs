using System.Globalization;
using SyncBench.Benchmarks.Accuracy;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>What is rendered. Everything follows from the seeds, so it is the same on every machine.</summary>
internal static class SelectionCorpus
{
    private const double Seconds = 120;

    /// <summary>Kinds of faults that have a beginning and an end, each as often as the others, and in how many ways they come.</summary>
    private static readonly (FaultKind Kind, int Ways, double Shortest, double Longest)[] Kinds =
    [
        (FaultKind.Wind, 1, 1.5, 5), (FaultKind.Rustle, 1, 1.2, 5), (FaultKind.Clipping, 2, 2, 5), (FaultKind.Dropout, 2, 1.1, 3),
        (FaultKind.Silence, 1, 1.1, 4), (FaultKind.Hum, 4, 1.5, 6), (FaultKind.Hiss, 1, 1.5, 6), (FaultKind.Knock, 1, 1.3, 4),
    ];

    private static readonly Point Subject = PairScene.Subject;

    private static readonly Places FirstPlaces = new(
        Chest: Beside(0.07, 0, -0.24), Collar: Beside(0.05, 0.06, -0.17), Pole: Beside(0.45, 0, 0.55),
        OnCamera: Beside(1.6, -0.1, 0.35), OfCamera: Beside(2.9, 0.8, 0.3));

    private static readonly Places SecondPlaces = new(
        Chest: Beside(0.09, -0.03, -0.21), Collar: Beside(0.04, -0.07, -0.15), Pole: Beside(0.5, 0.15, 0.5),
        OnCamera: Beside(1.75, 0, 0.25), OfCamera: Beside(2.7, 0.75, 0.4));

    /// <summary>Thresholds are set on these. All but the first sitting were held out once, until they were looked at.</summary>
    private static readonly Sitting[] Tuning =
    [
        new(FirstPlaces, Synthetic("en-gb-x-gbcwmd+m4", 150, 38),
        [
            (Synthetic("en-gb+f2", 140, 42), 0.25, 300), (Synthetic("en-us+m1", 150, 40), 0.4, 301),
            (Synthetic("en-gb-scotland+f3", 145, 55), 0.6, 302), (Synthetic("en-029+m7", 135, 30), 0.35, 303),
            (Talker.OfPrompts(RecordedPrompts.English, 0, 2), 0.3, 304), (Talker.OfPrompts(RecordedPrompts.English, 0, 2), 0.5, 305),
        ]),
        new(FirstPlaces, Synthetic("en-us+m6", 150, 50),
        [
            (Synthetic("en-us+f4", 150, 60), 0.45, 400), (Synthetic("en-gb+m5", 140, 25), 0.3, 401),
            (Synthetic("en-gb-x-gbclan+f1", 155, 45), 0.55, 402), (Synthetic("en-gb-x-rp+m3", 158, 34), 0.2, 403),
            (Talker.OfPrompts(RecordedPrompts.English, 1, 2), 0.35, 404), (Talker.OfPrompts(RecordedPrompts.English, 1, 2), 0.5, 405),
        ]),
        new(SecondPlaces, Synthetic("en-gb+steph", 150, 50),
        [
            (Synthetic("en-us-nyc+f5", 145, 48), 0.33, 500), (Synthetic("en-gb+m8", 150, 36), 0.52, 501),
            (Synthetic("en-us+belinda", 140, 44), 0.22, 502), (Synthetic("en-gb-scotland+m2", 152, 33), 0.58, 503),
            (Talker.OfPrompts(RecordedPrompts.French, 0, 2), 0.42, 504), (Talker.OfPrompts(RecordedPrompts.Italian, 0, 1), 0.28, 505),
        ]),
        new(SecondPlaces, Synthetic("en-us+paul", 150, 36),
        [
            (Synthetic("en-gb-x-rp+Annie", 148, 52), 0.38, 506), (Synthetic("en-029+linda", 138, 58), 0.47, 507),
            (Synthetic("en-gb-x-gbcwmd+Michael", 156, 28), 0.26, 508), (Synthetic("en-gb-x-gbclan+robert", 143, 40), 0.44, 509),
            (Talker.OfPrompts(RecordedPrompts.Russian, 0, 1), 0.53, 510), (Talker.OfPrompts(RecordedPrompts.French, 1, 2), 0.36, 511),
        ]),
        new(
            new Places(
                Chest: Beside(0.08, 0.04, -0.26), Collar: Beside(0.06, 0.02, -0.14), Pole: Beside(0.4, -0.12, 0.6),
                OnCamera: Beside(1.5, 0.15, 0.3), OfCamera: Beside(3, 0.5, 0.2)),
            Synthetic("en-us+Mario", 146, 42),
            [
                (Synthetic("en-gb+Alicia", 147, 50), 0.27, 600), (Synthetic("en-us-nyc+Lee", 142, 38), 0.5, 601),
                (Synthetic("en-029+steph2", 151, 46), 0.37, 602), (Synthetic("en-gb-x-gbclan+david", 139, 35), 0.57, 603),
                (Talker.OfShortPrompts(RecordedPrompts.Italian), 0.41, 604), (Talker.OfShortPrompts(RecordedPrompts.English), 0.3, 605),
            ]),
        new(
            new Places(
                Chest: Beside(0.1, 0.02, -0.2), Collar: Beside(0.03, 0.08, -0.16), Pole: Beside(0.55, 0.05, 0.45),
                OnCamera: Beside(1.85, -0.25, 0.4), OfCamera: Beside(2.6, 1, 0.35)),
            Synthetic("en-gb-x-rp+Andrea", 153, 54),
            [
                (Synthetic("en-us+anika", 149, 57), 0.46, 606), (Synthetic("en-gb-x-gbcwmd+benjamin", 154, 30), 0.24, 607),
                (Synthetic("en-gb-scotland+Jacky", 141, 43), 0.34, 608), (Synthetic("en-gb-x-rp+marcelo", 144, 37), 0.54, 609),
                (Talker.OfShortPrompts(RecordedPrompts.Russian), 0.48, 610), (Talker.OfShortPrompts(RecordedPrompts.French), 0.36, 611),
            ]),
        new(
            new Places(
                Chest: Beside(0.085, -0.05, -0.23), Collar: Beside(0.045, 0.07, -0.18), Pole: Beside(0.42, 0.1, 0.52),
                OnCamera: Beside(1.7, 0.2, 0.45), OfCamera: Beside(2.8, -0.6, 0.25)),
            Synthetic("en-us+max", 148, 44),
            [
                (Synthetic("en-gb+Andy", 152, 40), 0.32, 700), (Synthetic("en-us+shelby", 143, 53), 0.48, 701),
                (Synthetic("en-029+caleb", 147, 34), 0.23, 702), (Synthetic("en-gb-scotland+steph3", 150, 47), 0.56, 703),
                (Talker.OfPrompts(RecordedPrompts.Spanish, 0, 4), 0.43, 704), (Talker.OfShortPrompts(RecordedPrompts.Spanish), 0.29, 705),
            ]),
        new(
            new Places(
                Chest: Beside(0.075, 0.03, -0.28), Collar: Beside(0.055, -0.05, -0.13), Pole: Beside(0.5, -0.2, 0.58),
                OnCamera: Beside(1.55, -0.3, 0.2), OfCamera: Beside(3.1, 0.7, 0.45)),
            Synthetic("en-gb-x-rp+Gene", 151, 48),
            [
                (Synthetic("en-us-nyc+john", 155, 36), 0.39, 706), (Synthetic("en-gb-x-rp+quincy", 140, 45), 0.52, 707),
                (Synthetic("en-gb-x-gbclan+travis", 149, 31), 0.28, 708), (Synthetic("en-gb-x-gbcwmd+edward", 145, 50), 0.46, 709),
                (Synthetic("en-us+aunty", 153, 56), 0.35, 710), (Talker.OfPrompts(RecordedPrompts.Spanish, 1, 4), 0.5, 711),
            ]),
        new(
            new Places(
                Chest: Beside(0.095, 0.045, -0.22), Collar: Beside(0.05, -0.06, -0.16), Pole: Beside(0.48, -0.15, 0.54),
                OnCamera: Beside(1.62, 0.25, 0.32), OfCamera: Beside(2.95, 0.65, 0.28)),
            Synthetic("en-gb-x-gbclan+adam", 149, 40),
            [
                (Synthetic("en-us+Alex", 146, 43), 0.34, 800), (Synthetic("en-gb-scotland+antonio", 151, 37), 0.51, 801),
                (Synthetic("en-gb+Denis", 144, 32), 0.25, 802), (Synthetic("en-029+pablo", 148, 46), 0.55, 803),
                (Talker.OfPrompts(RecordedPrompts.Spanish, 2, 4), 0.4, 804), (Synthetic("en-us-nyc+Marco", 153, 41), 0.3, 805),
            ]),
        new(
            new Places(
                Chest: Beside(0.08, -0.035, -0.27), Collar: Beside(0.06, 0.045, -0.14), Pole: Beside(0.44, 0.12, 0.6),
                OnCamera: Beside(1.78, -0.15, 0.38), OfCamera: Beside(2.75, -0.85, 0.4)),
            Synthetic("en-us+Henrique", 150, 47),
            [
                (Synthetic("en-gb-x-rp+victor", 147, 35), 0.37, 806), (Synthetic("en-us+sandro", 142, 49), 0.53, 807),
                (Synthetic("en-gb-x-gbcwmd+miguel", 154, 39), 0.22, 808), (Synthetic("en-gb+rob", 145, 30), 0.47, 809),
                (Synthetic("en-gb-x-gbclan+Diogo", 150, 44), 0.43, 810), (Talker.OfPrompts(RecordedPrompts.Spanish, 3, 4), 0.36, 811),
            ]),
    ];

    /// <summary>As the others in kind; but no voice, place or seed is the same. Recorded prompts are not among them: all have been heard.</summary>
    private static readonly Sitting[] HeldOut =
    [
        new(
            new Places(
                Chest: Beside(0.09, 0.05, -0.25), Collar: Beside(0.04, -0.05, -0.17), Pole: Beside(0.46, 0.18, 0.56),
                OnCamera: Beside(1.68, 0.12, 0.28), OfCamera: Beside(2.85, -0.7, 0.32)),
            Synthetic("de", 150, 42),
            [
                (Synthetic("en-us+klatt4", 147, 45), 0.31, 820), (Synthetic("nl+f3", 150, 52), 0.49, 821),
                (Synthetic("en-gb+Gene2", 144, 36), 0.24, 822), (Synthetic("sv", 148, 40), 0.56, 823),
                (Synthetic("en-us-nyc+fast", 140, 48), 0.38, 824), (Synthetic("pl+f4", 152, 55), 0.44, 825),
            ]),
        new(
            new Places(
                Chest: Beside(0.075, -0.045, -0.21), Collar: Beside(0.06, 0.05, -0.15), Pole: Beside(0.52, -0.08, 0.5),
                OnCamera: Beside(1.57, -0.22, 0.42), OfCamera: Beside(3.05, 0.55, 0.38)),
            Synthetic("en-gb+RicishayMax2", 149, 44),
            [
                (Synthetic("pt-br", 146, 38), 0.28, 826), (Synthetic("en-029+iven4", 151, 43), 0.54, 827),
                (Synthetic("it", 149, 34), 0.35, 828), (Synthetic("cs+f1", 143, 50), 0.42, 829),
                (Synthetic("en-us+AnxiousAndy", 148, 41), 0.51, 830), (Synthetic("hu", 150, 47), 0.23, 831),
            ]),
        new(
            new Places(
                Chest: Beside(0.1, 0.03, -0.23), Collar: Beside(0.05, 0.055, -0.16), Pole: Beside(0.43, 0.14, 0.53),
                OnCamera: Beside(1.82, 0.18, 0.35), OfCamera: Beside(2.65, 0.95, 0.22)),
            Synthetic("fi", 152, 46),
            [
                (Synthetic("ro+f2", 145, 54), 0.33, 832), (Synthetic("en-gb-scotland+klatt5", 149, 39), 0.47, 833),
                (Synthetic("da", 147, 44), 0.26, 834), (Synthetic("en-gb-x-rp+RicishayMax3", 150, 37), 0.58, 835),
                (Synthetic("es+f5", 146, 53), 0.4, 836), (Synthetic("el", 144, 42), 0.5, 837),
            ]),
        new(
            new Places(
                Chest: Beside(0.08, -0.03, -0.26), Collar: Beside(0.035, 0.045, -0.14), Pole: Beside(0.5, 0.02, 0.58),
                OnCamera: Beside(1.72, -0.28, 0.25), OfCamera: Beside(2.9, -0.5, 0.44)),
            Synthetic("en-gb-x-gbclan+klatt6", 147, 40),
            [
                (Synthetic("fr-fr", 148, 43), 0.36, 838), (Synthetic("tr", 150, 35), 0.53, 839),
                (Synthetic("nb+f1", 145, 51), 0.29, 840), (Synthetic("ca", 149, 46), 0.45, 841),
                (Synthetic("et", 147, 39), 0.22, 842), (Synthetic("sk+f4", 143, 49), 0.55, 843),
            ]),
    ];

    /// <summary>The talks of one part; in a quick look at it, the first.</summary>
    internal static IEnumerable<BasePlan> Bases(bool heldOut, bool quick)
    {
        (Sitting Sitting, (Talker Subject, double Rt60, ulong Seed) Talk)[] talks =
            [.. (heldOut ? HeldOut : Tuning).SelectMany(sitting => sitting.Talks.Select(talk => (sitting, talk)))];
        for (int i = 0; i < (quick ? 1 : talks.Length); i++)
        {
            (Sitting sitting, (Talker subject, double rt60, ulong seed)) = talks[i];
            string name = string.Create(CultureInfo.InvariantCulture, $"{(heldOut ? "held-out" : "tuning")}-{i + 1:00}");
            yield return new BasePlan(name, seed, Seconds, subject, sitting.Interviewer, rt60, Mics(i, sitting.At));
        }
    }

    /// <summary>Three takes of each talk, in each some sixteen faults, mostly one at a time, on any of the mics.</summary>
    internal static IEnumerable<FaultPlan[]> Faults(BasePlan plan, bool quick)
    {
        for (int take = 0; take < (quick ? 1 : 3); take++)
        {
            var random = new SeededRandom(plan.Seed + ((ulong)take << 20), "faults");
            int[] order = [.. Enumerable.Range(0, 4 * Kinds.Length).OrderBy(_ => random.NextBits())];
            var faults = new List<FaultPlan>();
            double at = random.Between(6, 9);
            foreach (int next in order)
            {
                (FaultKind kind, int ways, double shortest, double longest) = Kinds[next % Kinds.Length];
                double seconds = random.Between(shortest, longest);
                if (at + seconds > plan.Seconds - 4)
                {
                    break;
                }

                faults.Add(new FaultPlan(
                    kind, random.Below(ways), (Strength)random.Below(3), MicFor(kind, plan, random), at, at + seconds, random.NextBits()));
                at += seconds + random.Between(2.5, 4.5);
            }

            yield return [.. faults];
        }
    }

    /// <summary>Takes in which a gain rides one mic after another, and nothing else is wrong.</summary>
    internal static IEnumerable<FaultPlan[]> Pumping(BasePlan plan, bool quick)
    {
        for (int take = 0; take < (quick ? 1 : 3); take++)
        {
            var random = new SeededRandom(plan.Seed + ((ulong)take << 20), "gain");
            var faults = new List<FaultPlan>();
            int mic = random.Below(plan.Mics.Count);
            for (double at = random.Between(5, 15); at < plan.Seconds - 25; at += random.Between(8, 15))
            {
                mic = (mic + 1 + random.Below(plan.Mics.Count - 1)) % plan.Mics.Count;
                double until = Math.Min(plan.Seconds - 4, at + random.Between(18, 40));
                faults.Add(new FaultPlan(
                    FaultKind.Pumping, 0, (Strength)random.Below(3), mic, at, until, random.NextBits()));
                at = until;
            }

            yield return [.. faults];
        }
    }

    /// <summary>Cloth and radio links are the lavaliers' business, the rest is anybody's.</summary>
    private static int MicFor(FaultKind kind, BasePlan plan, SeededRandom random)
    {
        int[] worn = [.. Enumerable.Range(0, plan.Mics.Count).Where(mic => plan.Mics[mic].Role == MicRole.Lavalier)];
        return kind is FaultKind.Rustle or FaultKind.Dropout ? worn[random.Below(worn.Length)] : random.Below(plan.Mics.Count);
    }

    private static MicPlan[] Mics(int talk, Places at)
    {
        MicPlan lavalier = new("lavalier", MicRole.Lavalier, at.Chest, PickupPattern.AllRound, -24, 28 - (2 * (talk % 3)));
        MicPlan shotgun = new("shotgun", MicRole.Shotgun, at.OnCamera, PickupPattern.Supercardioid(Subject), -28, 20 + (talk % 3));
        MicPlan scratch = new("scratch", MicRole.Scratch, at.OfCamera, PickupPattern.AllRound, -32, 12 + (2 * (talk % 2)));
        return (talk % 3) switch
        {
            0 => [lavalier, shotgun, scratch],
            1 => [lavalier, new("boom", MicRole.Boom, at.Pole, PickupPattern.Supercardioid(Subject), -26, 24), scratch],
            _ => [lavalier, new("lavalier-2", MicRole.Lavalier, at.Collar, PickupPattern.AllRound, -23, 25), shotgun, scratch],
        };
    }

    private static Talker Synthetic(string model, int wordsPerMinute, int pitch) =>
        new(model, new Voice(model, model, wordsPerMinute, pitch));

    private static Point Beside(double x, double y, double z) => new(Subject.X + x, Subject.Y + y, Subject.Z + z);

    /// <summary>Some talks with one interviewer.</summary>
    /// <param name="Talks">Who speaks in a room of which reverberation time, and the talk's seed.</param>
    private sealed record Sitting(Places At, Talker Interviewer, (Talker Subject, double Rt60, ulong Seed)[] Talks);

    /// <param name="OnCamera">A shotgun on the first camera.</param>
    /// <param name="OfCamera">The second camera's own mic.</param>
    private sealed record Places(Point Chest, Point Collar, Point Pole, Point OnCamera, Point OfCamera);
}
