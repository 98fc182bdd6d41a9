namespace SyncBench.Scenes;

public enum Speaker
{
    Subject,
    Interviewer,
}

public enum Delivery
{
    /// <summary>A turn of its own, after a pause.</summary>
    Turn,

    /// <summary>A short word of the listener into the other's turn.</summary>
    Interjection,

    /// <summary>The turn that an interjection broke into goes on.</summary>
    GoesOn,
}

/// <summary>Which part of the morning a line belongs to.</summary>
public enum Part
{
    TakeOne,

    /// <summary>Between the takes: the cameras stand, the recorder rolls on.</summary>
    Break,
    TakeTwo,
}

/// <summary>A line of the interview; its sentences are spoken with pauses between them.</summary>
public sealed record Line(Part Part, Speaker Speaker, Delivery Delivery, IReadOnlyList<string> Sentences);

/// <summary>
/// The invented interview of the demo: Tom Brandt asks Ines Harrow, ropemaker, about the last ropewalk of the harbour
/// town of Tallowick.
/// </summary>
public static class Interview
{
    public static IReadOnlyList<Line> Lines { get; } =
    [
        Asks(Part.TakeOne, "Good morning, Ines.", "Would you begin by telling us your name, and what you do here?"),
        Answers(
            Part.TakeOne,
            "My name is Ines Harrow.",
            "I make rope, in the last ropewalk that is still working in Tallowick.",
            "My mother worked here before me, and her father before her.",
            "He used to say that the family was twisted into the place."),
        Asks(Part.TakeOne, "How long is the building we are sitting in?"),
        Answers(
            Part.TakeOne,
            "Three hundred and forty metres, from the hackle board to the far door.",
            "It has to be long, because a rope gets shorter when you lay it.",
            "You stretch out the yarns over the whole length, and by the time they are closed up, a third of it has gone.",
            "So for a cable of two hundred metres, you need three hundred metres of floor.",
            "When I was a child I thought every town had a street with a roof on it."),
        Nods(Part.TakeOne, "Mm, really?"),
        GoesOn(
            Part.TakeOne,
            "Oh yes.",
            "We learned to ride our bicycles in here, on Sundays, when nobody was watching.",
            "There is still a mark on the fourth post where my brother did not turn in time."),
        Asks(Part.TakeOne, "Take me through it, please.", "What happens first, when an order comes in?"),
        Answers(
            Part.TakeOne,
            "First we comb the hemp.",
            "The fibre comes in bales, and it smells of hay and a little of tar.",
            "You throw a handful over the steel pins and draw it towards you, again and again, until it lies straight.",
            "Then the spinner wraps it around her waist and walks backwards, away from the wheel.",
            "She feeds the fibre out between her fingers, and the wheel puts in the twist.",
            "My grandfather walked eighteen miles a day like that, and all of it backwards.",
            "He said he had seen where he came from more often than where he was going.",
            "After that the yarns are tarred, and wound on bobbins, and they hang for a week to dry.",
            "And only then do we come to the part that people think of as making rope."),
        Nods(Part.TakeOne, "Right."),
        GoesOn(
            Part.TakeOne,
            "That part is called laying.",
            "Three strands are hooked to the machine at this end, and to a single hook on the sledge down there.",
            "The top, which is a cone of ash wood with three grooves, sits between them.",
            "And as the strands twist, the rope closes behind the top and pushes it along the walk, all by itself."),
        Asks(Part.TakeOne, "Who were the people that worked here, when you came?"),
        Answers(
            Part.TakeOne,
            "There were nineteen of us, and I was the youngest by twenty years.",
            "Old Barnaby Quill kept the fire under the tar, and he sang to it in a language that he had made up.",
            "The two Marlow sisters sat at the spinning wheels.",
            "They had not spoken to each other since some wedding, so I carried their messages up and down the walk.",
            "Give me the knife, tell her the light is going, ask her whether she has eaten.",
            "That is how I learned the trade, really, with one ear at each end of the building."),
        Asks(Part.TakeOne, "And what does it sound like?"),
        Answers(
            Part.TakeOne,
            "It hums.",
            "When the strands are hard enough, the whole building hums, and you can hear it from the quay.",
            "The pitch goes up as the twist goes in, so an old hand can tell with closed eyes when to stop.",
            "If it ever goes quiet, you step back, because something is about to break."),
        Asks(Part.Break, "Let us stop there for a moment.", "I have to change a battery."),
        Answers(Part.Break, "Of course.", "Shall I keep this little microphone on?"),
        Asks(Part.Break, "Yes, please leave it just as it is."),
        Asks(Part.TakeTwo, "We are rolling again.", "You told me about the storm of the year your daughter was born."),
        Answers(
            Part.TakeTwo,
            "Yes, that was the winter when the harbour wall gave way.",
            "Eleven boats were lying behind it, and every one of them was held by a line from this room.",
            "My mother and I stood at that window all night, and we counted the lights.",
            "If a light moved, a rope had parted.",
            "In the morning there were still eleven.",
            "The skipper of the Patient Margaret came in with wet boots, and he put a bag of oranges on the bench.",
            "He did not say a word, he only touched the rope that was on the machine, and went out again.",
            "I have had letters and I have had a medal, but I think about those oranges."),
        Nods(Part.TakeTwo, "Hm."),
        GoesOn(
            Part.TakeTwo,
            "My daughter has one of the crates now, she keeps her shoes in it."),
        Asks(Part.TakeTwo, "Is there one rope that you remember above all the others?"),
        Answers(
            Part.TakeTwo,
            "The bell rope of Saint Agnes, up on the hill.",
            "It is only thirty metres long, and as thick as my thumb, and nobody ever sees it.",
            "But the sexton was blind, and he asked me to lay a knot into it for every hour.",
            "I took it apart four times before the knots sat where his hand wanted them.",
            "When it rings for six o'clock I still stop and listen, and I think, that is the third knot from the top."),
        Asks(Part.TakeTwo, "There are cheaper ropes today.", "Why would anybody still buy yours?"),
        Answers(
            Part.TakeTwo,
            "Because hemp tells you when it is tired.",
            "The new fibres are stronger, I will not argue with that, but they fail without a warning.",
            "A hemp rope goes grey, and then it goes soft, and then a yarn stands up, and you know.",
            "The people who sail the old ships know that as well.",
            "And there is a theatre that flies its scenery with our lines, because they make no noise in the blocks."),
        Asks(Part.TakeTwo, "What will become of this place, after you?"),
        Answers(
            Part.TakeTwo,
            "I do not know.",
            "Two young people come on Thursdays, and one of them has the hands for it.",
            "You cannot teach that, you can only wait for it.",
            "The town wants the roof repaired and the floor made into a market.",
            "I told them, you may have the market on Sundays, when the bicycles are here anyway.",
            "But if somebody walks backwards down this floor in a hundred years, with hemp around the waist, then I shall be content."),
        Asks(Part.TakeTwo, "Thank you, Ines.", "That was lovely."),
        Answers(Part.TakeTwo, "Thank you for asking.", "Now, who would like some tea?"),
    ];

    private static Line Asks(Part part, params string[] sentences) =>
        new(part, Speaker.Interviewer, Delivery.Turn, sentences);

    private static Line Answers(Part part, params string[] sentences) =>
        new(part, Speaker.Subject, Delivery.Turn, sentences);

    private static Line Nods(Part part, string word) =>
        new(part, Speaker.Interviewer, Delivery.Interjection, [word]);

    private static Line GoesOn(Part part, params string[] sentences) =>
        new(part, Speaker.Subject, Delivery.GoesOn, sentences);
}
