using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Intake;

/// <summary>Gives files the roles that a person knows, after settings, names and folders had their say.</summary>
internal static class RoleCorrections
{
    /// <exception cref="SettingsException">A correction does not fit its file.</exception>
    internal static ImmutableArray<Clip> Apply(ImmutableArray<Clip> clips, ImmutableArray<RoleCorrection> corrections) =>
        corrections.Aggregate(clips, Apply);

    private static ImmutableArray<Clip> Apply(ImmutableArray<Clip> clips, RoleCorrection role)
    {
        Clip clip = clips.FirstOrDefault(clip => clip.File.Path == role.File) ?? throw Unfit(role, "it is no recording that can be read");
        if (role.Device is { } name)
        {
            Clip moved = ByHand(clip with { Device = Named(name, clip, clips, role) });
            (clips, clip) = (clips.Replace(clip, moved), moved);
        }

        Device device = clip.Device;
        Device shown = role.Angle is null ? device
            : device.Kind == DeviceKind.Camera ? device with { Angle = role.Angle }
            : throw Unfit(role, "it has no picture, and so no angle");
        if (role.Channel > clip.Mics.Length)
        {
            throw Unfit(role, FormattableString.Invariant($"it has {clip.Mics.Length} channels"));
        }

        return role is { Angle: null, Mic: null } ? clips
            : [.. clips.Select(other => other.Device == device ? ByHand(other with { Device = shown, Mics = Mics(other, role) }) : other)];
    }

    private static Device Named(string name, Clip clip, ImmutableArray<Clip> clips, RoleCorrection role)
    {
        Device? known = clips.FirstOrDefault(other => other.Device.Name == name)?.Device;
        return known is null ? new Device(name, clip.Device.Kind, clip.Device.Angle is null ? null : name, null)
            : known.Kind == clip.Device.Kind ? known
            : throw Unfit(role, $"{name} is a {known.Kind.InWords()}, and the file is none of a {known.Kind.InWords()}");
    }

    private static ImmutableArray<MicChannel> Mics(Clip clip, RoleCorrection role) => role.Mic is not { } mic ? clip.Mics :
    [
        .. clip.Mics.Select(channel => role.Channel is null || channel.Channel + 1 == role.Channel ? new MicChannel(channel.Channel, mic) : channel),
    ];

    private static Clip ByHand(Clip clip)
    {
        const string why = "; corrected by hand";
        return clip.RoleReason.EndsWith(why, StringComparison.Ordinal) ? clip : clip with { RoleReason = clip.RoleReason + why };
    }

    private static SettingsException Unfit(RoleCorrection role, string why) =>
        new($"{role}: {why}. Correct or take back the correction, then run again.");
}
