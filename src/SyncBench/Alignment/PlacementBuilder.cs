using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>Turns the measured solution into exact placements: the one point at which estimates become decisions.</summary>
internal sealed class PlacementBuilder(
    IReadOnlyList<HeardClip> clips,
    IReadOnlyList<ClipTracks?> tracks,
    Device[] devices,
    int[] deviceOfClip,
    int referenceDevice,
    Solution solution,
    Recordings recordings,
    IReadOnlyDictionary<int, double> groupStarts)
{
    /// <summary>Metres per second at 20 °C, reference form of ISO 9613-1 (from memory): 2.9 ms a metre.</summary>
    private const double SpeedOfSound = 343.2;

    private readonly PairMatcher _matcher = new();

    /// <summary>Null where no match of the clip, or of the recording it is part of, agrees with the solution.</summary>
    internal Placement? Place(int clip)
    {
        PairMatch? own = Strongest(match => match.Query == clip || match.Reference == clip);
        int recording = recordings.FirstOf(clip);
        PairMatch? strongest = own ?? Strongest(
            match => recordings.FirstOf(match.Query) == recording || recordings.FirstOf(match.Reference) == recording);
        if (strongest is null)
        {
            return null;
        }

        int device = deviceOfClip[clip];
        int partner = deviceOfClip[strongest.Query] == device ? strongest.Reference : strongest.Query;
        bool isReference = device == referenceDevice;
        return new Placement(
            clips[clip].Clip,
            MapOf(clip),
            solution.PpmError[device],
            MediaTime.FromSeconds(double.Hypot(solution.OffsetErrorSeconds[clip], isReference ? 0 : strongest.Lags.BiasSeconds)),
            strongest.Certainty,
            isReference ? null : devices[deviceOfClip[partner]],
            solution.Group[clip],
            isReference || own is null ? [] : Votes(own, clip),
            own is null ? Unmeasured(clip) : Delays(own, clip, SoundLate(clip)))
        {
            Continues = recordings.Previous[clip] is >= 0 and var previous ? clips[previous].Clip.File : null,
        };
    }

    private PairMatch? Strongest(Func<PairMatch, bool> isMeant) => solution.Matches
        .Where(isMeant)
        .OrderByDescending(match => deviceOfClip[match.Query] == referenceDevice || deviceOfClip[match.Reference] == referenceDevice)
        .ThenBy(match => match.LogChance)
        .FirstOrDefault();

    /// <summary>A part of a recording begins exactly where the part before it ends.</summary>
    private ClockMap MapOf(int clip)
    {
        double ppm = solution.Ppm[deviceOfClip[clip]];
        ImmutableArray<ClockJump> jumps = Jumps(clip);
        if (recordings.Previous[clip] is >= 0 and var previous)
        {
            MediaTime joint = MapOf(previous).ToCommon(Recordings.Running(clips[previous].Clip).End);
            MediaTime head = new ClockMap(MediaTime.Zero, ppm).ToCommon(Recordings.Running(clips[clip].Clip).Start);
            return new ClockMap(joint - head, ppm, jumps);
        }

        double offset = solution.OffsetSeconds[clip] + groupStarts[solution.Group[clip]] + SoundLate(clip);
        return new ClockMap(MediaTime.FromSeconds(offset), ppm, jumps);
    }

    /// <summary>
    /// Seconds by which the clip's sound is late against what its picture shows: the way through the air, and what the camera
    /// itself adds. Sound is what was matched, so the clip as a whole is moved back by that.
    /// </summary>
    private double SoundLate(int clip) =>
        ((clips[clip].Clip.Device.DistanceMetres ?? 0) / SpeedOfSound) + clips[clip].Clip.Device.SoundBehindPicture.ToSeconds();

    private ImmutableArray<MicDelay> Unmeasured(int clip) =>
        [.. clips[clip].Clip.Mics.Select(mic => new MicDelay(mic, MediaTime.FromSeconds(SoundLate(clip)), Measured: false))];

    private ImmutableArray<ClockJump> Jumps(int clip) =>
    [
        .. (tracks[clip]?.Jumps ?? []).Select(jump => new ClockJump(
            MediaTime.FromUnits((long)jump.At, SoundBlock.AnalysisRate), MediaTime.FromUnits((long)jump.Lost, SoundBlock.AnalysisRate))),
    ];

    private ImmutableArray<LagVote> Votes(PairMatch match, int clip)
    {
        var votes = ImmutableArray.CreateBuilder<LagVote>();
        for (int i = 0; i < match.Lags.Lags.Length; i++)
        {
            Lag lag = match.Lags.Lags[i];
            double reference = lag.QuerySeconds + lag.LagSeconds;
            double off = solution.CommonSeconds(match.Reference, deviceOfClip[match.Reference], reference)
                - solution.CommonSeconds(match.Query, deviceOfClip[match.Query], lag.QuerySeconds);

            // A query that lies later in the reference than the line says heard the sound earlier than it should.
            bool isQuery = match.Query == clip;
            votes.Add(new LagVote(
                MediaTime.FromSeconds(tracks[clip]!.Clearest.ClipSeconds(isQuery ? lag.QuerySeconds : reference)),
                MediaTime.FromSeconds(isQuery ? -off : off),
                match.Lags.Counted[i]));
        }

        return votes.ToImmutable();
    }

    /// <summary>Measures the other channels of the clip against the partner by which the clip was placed.</summary>
    private ImmutableArray<MicDelay> Delays(PairMatch match, int clip, double late)
    {
        SoundTrack placedBy = match.Query == clip ? match.Pair.Query : match.Pair.Reference;
        SoundTrack partner = match.Query == clip ? match.Pair.Reference : match.Pair.Query;
        int other = match.Other(clip);
        LagLine line = Line(clip, other);
        var delays = ImmutableArray.CreateBuilder<MicDelay>();
        foreach (MicChannel mic in clips[clip].Clip.SpeechMics)
        {
            SoundTrack track = tracks[clip]!.All[mic.Channel];
            double? delay = track == placedBy ? 0
                : track.Envelope.IsStill ? null
                : _matcher.Delay(new SoundPair(partner, track), line);
            delays.Add(new MicDelay(mic, MediaTime.FromSeconds((delay ?? 0) + late), delay is not null));
        }

        return delays.ToImmutable();
    }

    /// <summary>Where the clip lies in its partner by the joint solution.</summary>
    private LagLine Line(int clip, int partner)
    {
        double middle = clips[clip].Clip.Duration.ToSeconds() / 2;
        double common = solution.CommonSeconds(clip, deviceOfClip[clip], middle);
        double partnerRate = 1 + (solution.Ppm[deviceOfClip[partner]] * 1e-6);
        double inPartner = (common - solution.OffsetSeconds[partner]) / partnerRate;
        double ppm = (((1 + (solution.Ppm[deviceOfClip[clip]] * 1e-6)) / partnerRate) - 1) * 1e6;
        return new LagLine(middle, inPartner - middle, ppm);
    }
}
