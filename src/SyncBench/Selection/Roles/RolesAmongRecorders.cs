using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Media;

namespace SyncBench.Selection.Roles;

/// <summary>
/// Tells one-mic recorders apart, where neither settings nor names say what each records: beside a lavalier, a mic that is far less
/// clear is a boom. Recorders share no clock, so none can be asked which hears a voice first.
/// </summary>
/// <remarks>The longest clip speaks for all of its device. Two talkers with a lavalier each are equally clear.</remarks>
internal static class RolesAmongRecorders
{
    /// <summary>
    /// Twice what the mics of one clip must differ by: two recorders may have heard two talkers. A boom at 1 m hears 10 to 14 dB less of the
    /// voice above the room than a lavalier at 20 to 30 cm (inverse distance law).
    /// </summary>
    private const float ClearerDb = 6;

    /// <param name="clips">With their sound; null where there is none.</param>
    /// <returns>The clips in the same order.</returns>
    internal static ImmutableArray<Clip> Tell(IReadOnlyList<(Clip Clip, ClipSound? Sound)> clips)
    {
        (Clip Clip, ClipSound? Sound)[] longest =
        [
            .. clips
                .Where(clip => clip.Sound is not null && IsOpen(clip.Clip))
                .GroupBy(clip => clip.Clip.Device)
                .Select(own => own.MaxBy(clip => clip.Clip.Duration)),
        ];
        if (longest.Length < 2)
        {
            return [.. clips.Select(clip => clip.Clip)];
        }

        (Device Device, float Clearness)[] recorders =
            [.. longest.Select(clip => (clip.Clip.Device, Clearness.Of(clip.Sound!.Bands[clip.Clip.Mics[0].Channel])))];
        (Device clearest, float best) = recorders.MaxBy(recorder => recorder.Clearness);
        var booms = recorders
            .Where(recorder => best - recorder.Clearness >= ClearerDb)
            .ToDictionary(recorder => recorder.Device, recorder => string.Create(
                CultureInfo.InvariantCulture,
                $"taken for a boom, as it sounds {best - recorder.Clearness:0} dB less clear than {clearest.Name}"));
        return [.. clips.Select(clip => IsOpen(clip.Clip) && booms.TryGetValue(clip.Clip.Device, out string? why) ? Boom(clip.Clip, why) : clip.Clip)];
    }

    private static bool IsOpen(Clip clip) =>
        clip is { Device.Kind: DeviceKind.Recorder, Mics: [{ IsAssumed: true, Role: MicRole.Lavalier }] };

    private static Clip Boom(Clip clip, string why) => clip with
    {
        Mics = [new MicChannel(clip.Mics[0].Channel, MicRole.Boom)],
        RoleReason = $"{clip.RoleReason}; {why}",
    };
}
