namespace SyncBench.Selection;

/// <summary>Faults by the words of the trade.</summary>
public static class FaultKindWords
{
    public static string InWords(this FaultKind kind) => kind switch
    {
        FaultKind.Wind => "wind",
        FaultKind.Rustle => "rustle",
        FaultKind.Clipping => "clipping",
        _ => "dropout",
    };
}
