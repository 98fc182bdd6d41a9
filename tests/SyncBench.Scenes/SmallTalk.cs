namespace SyncBench.Scenes;

/// <summary>Sentences without end, no two scenes alike: for benchmarks that need more speech than one interview has.</summary>
public static class SmallTalk
{
    private static readonly string[] Who =
    [
        "my mother", "the harbour master", "old Barnaby Quill", "the younger Marlow sister", "a sailmaker",
        "my brother",
        "the sexton", "nobody in Tallowick", "the girl from the tar house", "that skipper", "the woman at the quay",
    ];

    private static readonly string[] Did =
    [
        "carried", "measured", "forgot", "mended", "sold", "counted", "hid", "borrowed", "weighed", "never trusted",
        "dropped", "cut", "coiled", "asked about", "painted", "dreamt of", "pulled at", "listened to",
    ];

    private static readonly string[] What =
    [
        "the long cable", "three bales of hemp", "a wet mooring line", "the iron hooks", "the bell rope",
        "a bag of oranges",
        "the wooden top", "eleven lanterns", "the tarred yarn", "the spinning wheel", "the ledger", "a splice",
    ];

    private static readonly string[] When =
    [
        "before the storm", "on a Thursday", "at low water", "in the year of the flood", "after the second bell",
        "while the kettle boiled", "every single morning", "behind the sail loft", "on the way to the fair",
        "without a word", "for nineteen years", "when the light was going",
    ];

    private static readonly string[] Asked =
    [
        "Was it true that", "Do you remember how", "Who told you that", "Were you there when", "Why do you think",
        "Can you say again how",
    ];

    public static string Sentence(SeededRandom random) =>
        $"{Capital(Pick(Who, random))} {Pick(Did, random)} {Pick(What, random)} {Pick(When, random)}.";

    public static string Question(SeededRandom random) =>
        $"{Pick(Asked, random)} {Pick(Who, random)} {Pick(Did, random)} {Pick(What, random)} {Pick(When, random)}?";

    /// <summary>Questions of one sentence and answers of two to five, enough to fill the time.</summary>
    public static IReadOnlyList<Line> Lines(double seconds, ulong seed)
    {
        const double ShortestSentence = 2.4; // with its pause; so there is always enough
        var random = new SeededRandom(seed, "small talk");
        var lines = new List<Line>();
        for (double spoken = 0; spoken < seconds;)
        {
            string[] answer = [.. Enumerable.Range(0, 2 + random.Below(4)).Select(_ => Sentence(random))];
            lines.Add(new Line(Part.TakeOne, Speaker.Interviewer, Delivery.Turn, [Question(random)]));
            lines.Add(new Line(Part.TakeOne, Speaker.Subject, Delivery.Turn, answer));
            spoken += ShortestSentence * (1 + answer.Length);
        }

        return lines;
    }

    private static string Pick(string[] choices, SeededRandom random) => choices[random.Below(choices.Length)];

    private static string Capital(string words) => char.ToUpperInvariant(words[0]) + words[1..];
}
