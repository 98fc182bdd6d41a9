using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Media;

public enum DeviceKind
{
    Camera,
    Recorder,
}

/// <summary>A camera or recorder: one crystal, so all its clips run at one rate.</summary>
/// <param name="Angle">What a camera shows ("wide", "close"); null for a recorder.</param>
/// <param name="DistanceMetres">
/// From talker to camera, in metres, where the crew gave it: its picture is moved back by the travel time of sound.
/// </param>
public sealed record Device(string Name, DeviceKind Kind, string? Angle, double? DistanceMetres)
{
    /// <summary>By how much a camera's sound is late against its own picture, where the crew measured it; early is negative.</summary>
    public MediaTime SoundBehindPicture { get; init; }
}

/// <summary>What a channel of sound is.</summary>
public enum MicRole
{
    Lavalier,

    /// <summary>On a pole or stand near the talker.</summary>
    Boom,

    /// <summary>On a camera.</summary>
    Shotgun,

    /// <summary>The camera's own microphone.</summary>
    Scratch,

    /// <summary>No mic: linear timecode was fed into the channel.</summary>
    Timecode,
}

/// <summary>One channel of a clip's sound.</summary>
/// <param name="Channel">0-based, over all audio streams of the file.</param>
public sealed record MicChannel(int Channel, MicRole Role)
{
    /// <summary>Whether neither settings nor names tell the role, so that it is only what such a device usually carries.</summary>
    public bool IsAssumed { get; init; }
}

/// <summary>One recording of one device. Its time zero is <see cref="MediaInfo.Origin"/>.</summary>
/// <param name="RoleReason">Why this device, angle and mic were taken, in words.</param>
public sealed record Clip(MediaInfo Media, Device Device, ImmutableArray<MicChannel> Mics, string RoleReason)
{
    public MediaFile File => Media.File;

    /// <summary>
    /// Common to the mono files of one recording, which began at the same sample and ran by one crystal; null where the
    /// file holds all of its recording's mics.
    /// </summary>
    public string? MonoSet { get; init; }

    /// <summary>The channels on which somebody can be heard: all but those that carry timecode.</summary>
    public ImmutableArray<MicChannel> SpeechMics => Mics.RemoveAll(mic => mic.Role == MicRole.Timecode);

    public MediaTime Duration => Media.Duration;
}
