using SyncBench.Media;

namespace SyncBench.Selection;

/// <summary>What each kind of mic and each fault costs in dB of speech to noise.</summary>
internal static class MicPreference
{
    /// <summary>Within this the lavalier is preferred: the close mic sounds direct (common practice).</summary>
    public const float CloseMicDb = 3;

    /// <summary>A camera's own mic hears the camera and the room: only when nothing better is there.</summary>
    private const float ScratchDb = 15;

    public static float PriceDb(MicRole role) => role switch
    {
        MicRole.Lavalier => 0,
        MicRole.Boom or MicRole.Shotgun => CloseMicDb,
        _ => ScratchDb,
    };

    /// <summary>
    /// What makes a mic unfit costs more than noise can (<see cref="SpeechToNoise.HighestDb"/> less
    /// <see cref="SpeechToNoise.LowestDb"/>), so that it is heard only where every mic has a fault, and then the one whose fault
    /// and noise cost least. Hum lies where speech to noise is not weighed; hiss, and noise that a gain
    /// brings up, are weighed there already.
    /// </summary>
    public static float PriceDb(FaultKind fault) => fault switch
    {
        FaultKind.Dropout or FaultKind.Silence => 120,
        FaultKind.Clipping => 65,
        FaultKind.Hum => 6,
        FaultKind.Hiss or FaultKind.Pumping => 0,
        _ => 70,
    };
}
