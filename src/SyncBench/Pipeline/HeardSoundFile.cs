using System.Collections.Immutable;
using System.Runtime.InteropServices;
using SyncBench.Alignment;
using SyncBench.Selection;
using SyncBench.Signal.Loudness;
using SyncBench.Time;

namespace SyncBench.Pipeline;

/// <summary>A <see cref="HeardSound"/> that was read whole, but for its samples, as bytes that only this build of the program reads.</summary>
internal static class HeardSoundFile
{
    internal static void Write(Stream stream, HeardSound heard)
    {
        using var to = new BinaryWriter(stream, System.Text.Encoding.UTF8, leaveOpen: true);
        to.Write(heard.Samples.Channels);
        to.Write(heard.Samples.Samples);
        Array<byte>(to, heard.Samples.Hash());
        Array<int>(to, heard.TimecodeChannels.AsSpan());
        Clock(to, heard.Timecode);
        for (int channel = 0; channel < heard.Samples.Channels; channel++)
        {
            Array(to, heard.Sound.Bands[channel].Levels);
            Array(to, heard.Sound.Measures[channel].Peaks);
            Array(to, heard.Sound.Measures[channel].Clipped);
            Array(to, heard.Sound.Measures[channel].Missing);
            Array(to, heard.Sound.Hum[channel].AsSpan());
            Array(to, heard.Sound.Loudness[channel].Track.Powers);
            Array(to, heard.Sound.Loudness[channel].Track.Peaks);
            Array(to, heard.Sound.Loudness[channel].Speech.MeanSquares);
            Array(to, heard.Sound.Loudness[channel].Speech.Active);
        }
    }

    /// <param name="open">Opens the samples, told how many channels, how many of each, and their hash.</param>
    /// <exception cref="IOException">There is less than was written.</exception>
    /// <exception cref="InvalidDataException">It is not what was written.</exception>
    internal static HeardSound Read(Stream stream, Func<int, long, byte[], SoundStore> open)
    {
        using var from = new BinaryReader(stream, System.Text.Encoding.UTF8, leaveOpen: true);
        int channels = from.ReadInt32();
        long samples = from.ReadInt64();
        byte[] hash = Array<byte>(from);
        ImmutableArray<int> timecode = ImmutableCollectionsMarshal.AsImmutableArray(Array<int>(from));
        StartClock? clock = Clock(from);
        var bands = ImmutableArray.CreateBuilder<BandLevels>();
        var measures = ImmutableArray.CreateBuilder<MicMeasure>();
        var hum = ImmutableArray.CreateBuilder<ImmutableArray<HumStretch>>();
        var loudness = ImmutableArray.CreateBuilder<ChannelLoudness>();
        for (int channel = 0; channel < channels; channel++)
        {
            bands.Add(new BandLevels(Array<byte>(from)));
            measures.Add(new MicMeasure(Array<byte>(from), Array<byte>(from), Array<byte>(from)));
            hum.Add(ImmutableCollectionsMarshal.AsImmutableArray(Array<HumStretch>(from)));
            loudness.Add(new ChannelLoudness(
                new LoudnessTrack(Array<float>(from), Array<float>(from)), new ActiveSpeech(Array<float>(from), Array<ushort>(from))));
        }

        SoundStore store = open(channels, samples, hash);
        var sound = new ClipSound(bands.ToImmutable(), measures.ToImmutable(), hum.ToImmutable()) { Loudness = loudness.ToImmutable(), Samples = store };
        return new HeardSound(clock, timecode, sound, store, Problem: null);
    }

    private static void Clock(BinaryWriter to, StartClock? clock)
    {
        to.Write(clock is not null);
        if (clock is not null)
        {
            to.Write((int)clock.Source);
            to.Write(clock.Channel ?? -1);
            to.Write(clock.SinceMidnight.Numerator);
            to.Write(clock.SinceMidnight.Denominator);
            to.Write(clock.FrameRate?.Numerator ?? 0);
            to.Write(clock.FrameRate?.Denominator ?? 0);
            to.Write(clock.DropFrame);
        }
    }

    private static StartClock? Clock(BinaryReader from)
    {
        if (!from.ReadBoolean())
        {
            return null;
        }

        var source = (TimecodeSource)from.ReadInt32();
        int channel = from.ReadInt32();
        var since = MediaTime.OfFraction(from.ReadInt64(), from.ReadInt64());
        int numerator = from.ReadInt32(), denominator = from.ReadInt32();
        return new StartClock(source, channel < 0 ? null : channel, since, numerator == 0 ? null : new Rate(numerator, denominator), from.ReadBoolean());
    }

    private static void Array<T>(BinaryWriter to, ReadOnlySpan<T> items)
        where T : unmanaged
    {
        to.Write(items.Length);
        to.Write(MemoryMarshal.AsBytes(items));
    }

    private static T[] Array<T>(BinaryReader from)
        where T : unmanaged
    {
        int count = from.ReadInt32();
        if (count < 0 || (long)count * Marshal.SizeOf<T>() > from.BaseStream.Length - from.BaseStream.Position)
        {
            throw new InvalidDataException("What was kept of a file's sound cannot be understood.");
        }

        var items = new T[count];
        from.BaseStream.ReadExactly(MemoryMarshal.AsBytes(items.AsSpan()));
        return items;
    }
}
