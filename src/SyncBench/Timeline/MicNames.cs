using System.Globalization;
using SyncBench.Media;

namespace SyncBench.Timeline;

internal static class MicNames
{
    /// <summary>"lavalier (RECORDER channel 1)": tells which channel to choose where a reader knows nothing but names.</summary>
    internal static string Of(Device device, MicChannel mic) =>
        string.Create(CultureInfo.InvariantCulture, $"{mic.Role.InWords()} ({device.Name} channel {mic.Channel + 1})");
}
