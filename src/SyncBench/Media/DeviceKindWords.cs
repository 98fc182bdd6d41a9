namespace SyncBench.Media;

/// <summary>Kinds of device by the words of the trade.</summary>
public static class DeviceKindWords
{
    public static string InWords(this DeviceKind kind) => kind switch
    {
        DeviceKind.Camera => "camera",
        DeviceKind.Recorder => "recorder",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "not a kind of device"),
    };
}
