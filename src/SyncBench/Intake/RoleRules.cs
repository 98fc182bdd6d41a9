using System.Collections.Immutable;
using System.Globalization;
using Microsoft.Extensions.FileSystemGlobbing;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Intake;

/// <summary>
/// Says of each file which device made it, which angle it shows and what each channel of its sound is: by the
/// settings where they speak, else by folder, name and kind of file; what a person corrected counts most.
/// </summary>
public static class RoleRules
{
    private static readonly string[] Angles = ["wide", "close", "medium", "side", "top"];

    /// <summary>Words in the name of a track, file or folder that say what a mic is.</summary>
    private static readonly (string Word, MicRole Role)[] MicWords =
    [
        ("lav", MicRole.Lavalier), ("radio", MicRole.Lavalier), ("wireless", MicRole.Lavalier), ("clip-on", MicRole.Lavalier),
        ("shotgun", MicRole.Shotgun), ("boom", MicRole.Boom), ("scratch", MicRole.Scratch), ("onboard", MicRole.Scratch),
        ("internal", MicRole.Scratch),
    ];

    /// <param name="media">All readable files of the dump: a folder with one kind of file names one device.</param>
    /// <returns>One clip a file, in the same order.</returns>
    /// <exception cref="SettingsException">A correction does not fit its file.</exception>
    public static ImmutableArray<Clip> Assign(IReadOnlyList<MediaInfo> media, DumpSettings settings)
    {
        (DeviceRule Rule, Matcher Glob)[] rules = [.. settings.Devices.Select(rule => (rule, Glob(rule.Match)))];
        DeviceRule?[] ruleOf = [.. media.Select(m => rules.FirstOrDefault(r => r.Glob.Match(m.File.Path).HasMatches).Rule)];
        MediaInfo[] unnamed = [.. media.Where((_, i) => ruleOf[i] is null)];
        ImmutableDictionary<MediaFile, MonoTrack> sets = MonoSets.Find(media);
        Dictionary<MediaFile, NamedDevice> names =
            unnamed.Zip(DeviceNames.Of(unnamed, sets)).ToDictionary(pair => pair.First.File, pair => pair.Second);
        ILookup<(DeviceRule?, string?), MediaFile> together = media
            .Zip(ruleOf)
            .ToLookup(pair => (pair.Second, sets.GetValueOrDefault(pair.First.File)?.Set), pair => pair.First.File);
        TimeZoneInfo? zone = settings.TimeZone is { } place ? TimeZoneInfo.FindSystemTimeZoneById(place) : null;
        ImmutableArray<Clip> found =
        [
            .. media.Select((m, i) =>
            {
                MonoTrack? track = sets.GetValueOrDefault(m.File);
                bool isRuleForTheSet = track is not null && together[(ruleOf[i], track.Set)].Skip(1).Any();
                Clip clip = ruleOf[i] is { } rule ? ByRule(m, rule, isRuleForTheSet ? track : null) : ByName(m, names[m.File]);
                return clip with { MonoSet = track?.Set, Media = PlaceTime.Of(m, zone, ruleOf[i]?.ClockIsLocal ?? false) };
            }),
        ];
        return RoleCorrections.Apply(found, settings.Corrections.Roles);
    }

    /// <param name="track">Where the rule is for several files of one recording: it names their mics in the order of tracks.</param>
    private static Clip ByRule(MediaInfo media, DeviceRule rule, MonoTrack? track)
    {
        DeviceKind kind = DeviceNames.Kind(media);
        string? angle = kind == DeviceKind.Camera ? rule.Angle ?? Angle(media.File.Path) ?? rule.Name : null;
        string name = string.Join(' ', new[] { rule.Name, DeviceNames.OfTrack(track) }.Where(part => part.Length > 0));
        var device = new Device(name, kind, angle, rule.DistanceM)
        {
            SoundBehindPicture = MediaTime.FromMilliseconds(rule.PictureOffsetMs ?? 0),
        };
        ImmutableArray<MicRole> named = rule.Mics;
        return WithMics(
            media, device, $"settings rule \"{rule.Match}\"{DeviceNames.InWords(track)}", channel =>
            {
                int place = track?.Place ?? channel;
                return place < named.Length ? new Told(named[place]) : ByWords(media, channel);
            });
    }

    private static Clip ByName(MediaInfo media, NamedDevice device)
    {
        DeviceKind kind = DeviceNames.Kind(media);
        return WithMics(
            media, new Device(device.Name, kind, kind == DeviceKind.Camera ? Angle(media.File.Path) ?? device.Name : null, null),
            device.Reason, channel => ByWords(media, channel));
    }

    private static Clip WithMics(MediaInfo media, Device device, string why, Func<int, Told> role)
    {
        Told[] roles = [.. Enumerable.Range(0, media.Channels).Select(role)];
        string[] reasons = [why, .. roles.Select(r => r.Reason).OfType<string>().Distinct(StringComparer.Ordinal)];
        return new Clip(
            media, device, [.. roles.Select((r, channel) => new MicChannel(channel, r.Role) { IsAssumed = r.IsAssumed })],
            string.Join("; ", reasons));
    }

    /// <summary>The track's own name first, then those of file and folders, then what the kind of device usually carries.</summary>
    private static Told ByWords(MediaInfo media, int channel)
    {
        if (media.ChannelName(channel) is { } name && RoleIn(name) is { } named)
        {
            return new Told(named, string.Create(CultureInfo.InvariantCulture, $"channel {channel + 1} is named \"{name}\""));
        }

        if (DeviceNames.Kind(media) == DeviceKind.Camera)
        {
            return new Told(MicRole.Scratch) { IsAssumed = true };
        }

        return media.File.Path.Split('/').Reverse().Select(RoleIn).FirstOrDefault(role => role is not null) is { } inPath
            ? new Told(inPath)
            : new Told(MicRole.Lavalier) { IsAssumed = true };
    }

    private static MicRole? RoleIn(string text)
    {
        foreach ((string word, MicRole role) in MicWords)
        {
            if (BeginsAWord(text, word))
            {
                return role;
            }
        }

        return null;
    }

    private static bool BeginsAWord(string text, string word)
    {
        int at = text.IndexOf(word, StringComparison.OrdinalIgnoreCase);
        return at == 0 || (at > 0 && !char.IsLetter(text[at - 1]));
    }

    private static string? Angle(string path) => Angles.FirstOrDefault(angle => Says(path, angle));

    private static bool Says(string path, string word) => path.Contains(word, StringComparison.OrdinalIgnoreCase);

    private static Matcher Glob(string pattern)
    {
        var glob = new Matcher(StringComparison.OrdinalIgnoreCase);
        glob.AddInclude(pattern);
        return glob;
    }

    private sealed record Told(MicRole Role, string? Reason = null)
    {
        internal bool IsAssumed { get; init; }
    }
}
