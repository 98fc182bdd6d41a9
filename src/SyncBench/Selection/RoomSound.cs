using System.Globalization;

namespace SyncBench.Selection;

/// <summary>How much of the room a mic hears beside the talker: a tendency, for the talker's own endings differ too.</summary>
/// <param name="DirectToReverberantDb">Energy of the talker's direct sound over that of the room's echo, from the subject.</param>
public sealed record RoomSound(MicSource Source, double DirectToReverberantDb)
{
    /// <summary>From here down the room is louder than the talker.</summary>
    public const double RoomyDb = 0;

    /// <summary>From here up a voice sounds close (common practice: a mic at the chest, or a boom just out of the picture).</summary>
    public const double DirectDb = 8;

    public bool IsRoomy => DirectToReverberantDb < RoomyDb;

    public string InWords()
    {
        string tendency = IsRoomy ? "the room is louder than the voice" : DirectToReverberantDb < DirectDb ? "some room" : "direct";
        return string.Create(CultureInfo.InvariantCulture, $"{tendency} (direct to reverberant about {DirectToReverberantDb:+0;−0;0} dB)");
    }
}
