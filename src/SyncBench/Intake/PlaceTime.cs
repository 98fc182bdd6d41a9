using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>Reads the devices' times of day in the zone of the place of shooting, so that they can be held against each other.</summary>
internal static class PlaceTime
{
    /// <param name="zone">Null where nobody said: times stay as the file has them.</param>
    /// <param name="isLocal">Whether the device calls UTC what is the place's own time.</param>
    internal static MediaInfo Of(MediaInfo media, TimeZoneInfo? zone, bool isLocal)
    {
        if (zone is null || media.CreatedAt is not { } at || media.Zone == ClockZone.Stated)
        {
            return media;
        }

        bool isPlaces = isLocal || media.Zone == ClockZone.Unsaid;
        return media with
        {
            CreatedAt = isPlaces
                ? new DateTimeOffset(at.DateTime, zone.GetUtcOffset(at.DateTime))
                : TimeZoneInfo.ConvertTime(at, zone),
        };
    }
}
