namespace SyncBench.Media;

/// <summary>Mics by the words of the trade.</summary>
public static class MicRoleWords
{
    public static string InWords(this MicRole role) => role switch
    {
        MicRole.Lavalier => "lavalier",
        MicRole.Boom => "boom",
        MicRole.Shotgun => "shotgun",
        MicRole.Timecode => "timecode",
        _ => "scratch",
    };
}
