using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Selection.Speakers;

public enum Speaking
{
    Neither,

    /// <summary>Who wears the lavalier.</summary>
    Subject,

    /// <summary>Who is far from it: asks the questions.</summary>
    Interviewer,
    Both,
}

/// <summary>A stretch in which somebody speaks.</summary>
/// <param name="CommonRange">On the common clock, to 50 ms.</param>
public sealed record SpeechStretch(TimeRange CommonRange, Speaking Who);

public enum TurnKind
{
    Question,
    Answer,
}

/// <summary>A question or an answer: speech of one talker with the pauses that are made in it.</summary>
/// <param name="CommonRange">On the common clock: from the talker's first sound to the last.</param>
/// <param name="FirstWords">
/// Where connected speech begins; later than the start of the range where a short sound ("um", a laugh) goes before.
/// </param>
/// <param name="MayBeRestart">A short answer that is begun again at once: perhaps a false start.</param>
public sealed record Turn(TurnKind Kind, TimeRange CommonRange, MediaTime FirstWords, bool MayBeRestart);

/// <summary>Who speaks when in a take.</summary>
/// <param name="Stretches">In order, without <see cref="Speaking.Neither"/>; they do not overlap.</param>
/// <param name="Turns">In order of start. An answer may lie over a question where both speak.</param>
/// <param name="CannotTell">Why it cannot be told, in words; null where it can. Then the other two are empty.</param>
public sealed record Talk(ImmutableArray<SpeechStretch> Stretches, ImmutableArray<Turn> Turns, string? CannotTell)
{
    public static Talk Untold(string why) => new([], [], why);

    public IEnumerable<Turn> Answers => Turns.Where(turn => turn.Kind == TurnKind.Answer);

    public IEnumerable<Turn> Questions => Turns.Where(turn => turn.Kind == TurnKind.Question);
}
