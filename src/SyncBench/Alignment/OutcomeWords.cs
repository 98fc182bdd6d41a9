namespace SyncBench.Alignment;

/// <summary>Outcomes by the words that tables, report and command line share.</summary>
public static class OutcomeWords
{
    public static string InWords(this Outcome outcome) => outcome switch
    {
        Outcome.Placed => "placed",
        Outcome.SetAside => "set aside",
        Outcome.CheckByEar => "check by ear",
        _ => "unreadable",
    };
}
