using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Selection.Roles;

/// <summary>
/// Tells the mics of one device apart by what they hear, where neither settings nor names say what they are. Only channels of one
/// clip can be asked which hears a voice first: they share a clock.
/// </summary>
/// <remarks>
/// On a recorder the clearest mic is the lavalier, and one that hears the same voices later and less clear is the boom. On a
/// camera a channel that is clearer than its sibling in the same place is the shotgun, and one that is clearer and hears the voices
/// long before is near the talker: worn or on a stand, which cannot be told, so it is taken as the boom. The longest clip speaks for
/// all of its device. Recorders of one mic each are told apart last. Where the sound does not tell, that is said and nothing changed.
/// </remarks>
public static class RolesBySound
{
    /// <summary>
    /// Less is what two mics of one kind differ by, each turned another way. A mic turned to the talker hears 5 to 6 dB less of the room
    /// than one that hears all round (directivity index of cardioid and supercardioid: common practice).
    /// </summary>
    private const float ClearerDb = 3;

    /// <summary>20 cm of sound: two mics on one camera; and less than a lavalier is nearer than a boom.</summary>
    private static readonly MediaTime SamePlace = MediaTime.FromMilliseconds(0.6);

    /// <summary>70 cm of sound: longer than a camera.</summary>
    private static readonly MediaTime OffTheCamera = MediaTime.FromMilliseconds(2);

    /// <param name="clips">With their sound; null where there is none.</param>
    /// <returns>The clips in the same order, with roles and reasons as far as the sound tells them.</returns>
    public static ImmutableArray<Clip> Tell(IReadOnlyList<(Clip Clip, ClipSound? Sound)> clips)
    {
        var told = clips
            .Where(clip => clip.Sound is not null && Assumed(clip.Clip).Length > 1)
            .GroupBy(clip => Key(clip.Clip))
            .ToDictionary(alike => alike.Key, alike => Answer(alike.MaxBy(clip => clip.Clip.Duration)));
        return RolesAmongRecorders.Tell(
            [.. clips.Select(clip => told.GetValueOrDefault(Key(clip.Clip)) is { } answer ? clip with { Clip = With(clip.Clip, answer) } : clip)]);
    }

    /// <summary>Clips that one answer serves: of one device, with the same roles open.</summary>
    private static (Device Device, string Open) Key(Clip clip) => (clip.Device, string.Join(' ', Assumed(clip)));

    /// <summary>The channels whose roles are open.</summary>
    private static int[] Assumed(Clip clip) =>
        [.. clip.Mics.Where(mic => mic.IsAssumed && mic.Role != MicRole.Timecode).Select(mic => mic.Channel)];

    private static Clip With(Clip clip, Told told) => clip with
    {
        Mics = [.. clip.Mics.Select(mic => told.Roles.TryGetValue(mic.Channel, out MicRole role) ? new MicChannel(mic.Channel, role) : mic)],
        RoleReason = $"{clip.RoleReason}; {told.Reason}",
    };

    private static Told Answer((Clip Clip, ClipSound? Sound) clip)
    {
        ClipSound sound = clip.Sound!;
        int[] channels = Assumed(clip.Clip);
        var clearness = channels.ToDictionary(channel => channel, channel => Clearness.Of(sound.Bands[channel]));
        int clearest = channels.MaxBy(channel => clearness[channel]);
        Rival[] rivals = [.. channels.Where(channel => channel != clearest).Select(channel => new Rival(
            channel, VoiceLead.Between(sound, clearest, channel), clearness[clearest] - clearness[channel]))];
        (MicRole? best, Rival[] others) = clip.Clip.Device.Kind == DeviceKind.Camera ? OnCamera(rivals) : OnRecorder(rivals);
        string by = string.Join(", ", (others.Length > 0 ? others : rivals).Select(InWords));
        if (best is not { } role)
        {
            return new Told(
                ImmutableDictionary<int, MicRole>.Empty,
                $"its sound does not tell what each mic is (channel {Number(clearest)} is the clearest, {by}), so the usual is assumed");
        }

        var roles = ImmutableDictionary<int, MicRole>.Empty.Add(clearest, role);
        string doubt = role == MicRole.Boom ? " (near the talker and not on the camera; a lavalier by radio sounds so too)" : string.Empty;
        return new Told(
            clip.Clip.Device.Kind == DeviceKind.Recorder ? roles.AddRange(others.Select(other => KeyValuePair.Create(other.Channel, MicRole.Boom))) : roles,
            $"channel {Number(clearest)} is the {role.InWords()} by its sound in {clip.Clip.File.Name}: it is the clearest, {by}{doubt}");
    }

    private static (MicRole? Best, Rival[] Others) OnCamera(Rival[] rivals) =>
        rivals.All(rival => rival.IsLessClear && rival.Lead >= OffTheCamera) ? (MicRole.Boom, rivals)
        : rivals.All(rival => rival.IsLessClear && rival.Lead is { } lead && MediaTime.Abs(lead) < SamePlace) ? (MicRole.Shotgun, rivals)
        : (null, []);

    private static (MicRole? Best, Rival[] Others) OnRecorder(Rival[] rivals)
    {
        Rival[] booms = [.. rivals.Where(rival => rival.IsLessClear && rival.Lead >= SamePlace)];
        return (booms.Length > 0 ? MicRole.Lavalier : null, booms);
    }

    /// <summary>"channel 2 hears voices 2.1 ms later and 6 dB less clear".</summary>
    private static string InWords(Rival rival)
    {
        string when = rival.Lead is not { } lead ? "at no steady distance"
            : MediaTime.Abs(lead) < SamePlace ? "at the same time"
            : string.Create(CultureInfo.InvariantCulture, $"{MediaTime.Abs(lead).ToMilliseconds():0.0} ms {(lead > MediaTime.Zero ? "later" : "earlier")}");
        return string.Create(CultureInfo.InvariantCulture, $"channel {rival.Channel + 1} hears voices {when} and {rival.LessClearDb:0} dB less clear");
    }

    private static string Number(int channel) => (channel + 1).ToString(CultureInfo.InvariantCulture);

    /// <param name="Lead">By how much later it hears voices than the clearest; null where that cannot be told.</param>
    private sealed record Rival(int Channel, MediaTime? Lead, float LessClearDb)
    {
        internal bool IsLessClear => LessClearDb >= ClearerDb;
    }

    private sealed record Told(ImmutableDictionary<int, MicRole> Roles, string Reason);
}
