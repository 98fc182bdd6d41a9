namespace SyncBench.Selection.Speakers;

/// <summary>Kinds of turn as people call them.</summary>
public static class TurnKindWords
{
    public static string InWords(this TurnKind kind) => kind switch
    {
        TurnKind.Question => "question",
        TurnKind.Answer => "answer",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "not a kind of turn"),
    };
}
