namespace SyncBench.Selection;

/// <summary>Faults by the words of the trade.</summary>
public static class FaultKindWords
{
    public static string InWords(this FaultKind kind) => kind switch
    {
        FaultKind.Wind => "wind",
        FaultKind.Rustle => "rustle",
        FaultKind.Clipping => "clipping",
        FaultKind.Dropout => "dropout",
        FaultKind.Silence => "digital silence",
        FaultKind.Hum => "hum",
        FaultKind.Hiss => "hiss",
        FaultKind.Knock => "knocks",
        FaultKind.Pumping => "gain pumping",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "not a kind of fault"),
    };

    /// <summary>
    /// Whether the mic is not to be heard while another will do. The others are heard as noise is: they count, but speech
    /// stays clear.
    /// </summary>
    public static bool MakesUnfit(this FaultKind kind) =>
        kind is not (FaultKind.Hum or FaultKind.Hiss or FaultKind.Pumping);
}
