namespace SyncBench.Benchmarks.Accuracy;

/// <summary>What a clip holds besides the talk.</summary>
internal enum NoiseKind
{
    /// <summary>Pink noise and traffic rumble of the camera's own.</summary>
    PinkAndTraffic,

    /// <summary>At the camera's microphone alone.</summary>
    Wind,

    /// <summary>Six people who talk elsewhere in the room; the recorder hears them too.</summary>
    Babble,

    /// <summary>A loop from a loudspeaker in the room, each time the same samples; the recorder hears it too.</summary>
    Music,
}
