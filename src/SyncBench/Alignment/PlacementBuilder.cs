using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>Turns the measured solution into exact placements: the one point at which estimates become decisions.</summary>
internal sealed class PlacementBuilder(
    IReadOnlyList<HeardClip> clips,
    ClipTracks?[] tracks,
    Device[] devices,
    int[] deviceOfClip,
    int referenceDevice,
    Solution solution,
    IReadOnlyDictionary<int, double> groupStarts)
{
    /// <summary>Metres per second at 20 °C, reference form of ISO 9613-1 (from memory): 2.9 ms a metre.</summary>
    private const double SpeedOfSound = 343.2;

    private readonly PairMatcher _matcher = new();

    /// <summary>Null where no match of the clip agrees with the solution.</summary>
    internal Placement? Place(int clip)
    {
        PairMatch? strongest = solution.Matches
            .Where(match => match.Query == clip || match.Reference == clip)
            .OrderByDescending(match => deviceOfClip[match.Other(clip)] == referenceDevice)
            .ThenBy(match => match.LogChance)
            .FirstOrDefault();
        if (strongest is null)
        {
            return null;
        }

        int device = deviceOfClip[clip], partner = strongest.Other(clip);
        bool isReference = device == referenceDevice;
        double travel = (clips[clip].Clip.Device.DistanceMetres ?? 0) / SpeedOfSound;
        double offset = solution.OffsetSeconds[clip] + groupStarts[solution.Group[clip]] + travel;
        return new Placement(
            clips[clip].Clip,
            new ClockMap(MediaTime.FromSeconds(offset), solution.Ppm[device]),
            solution.PpmError[device],
            MediaTime.FromSeconds(solution.OffsetErrorSeconds[clip]),
            strongest.Certainty,
            isReference ? null : devices[deviceOfClip[partner]],
            solution.Group[clip],
            isReference ? [] : Votes(strongest, clip),
            Delays(strongest, clip, travel));
    }

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
                MediaTime.FromSeconds(isQuery ? lag.QuerySeconds : reference),
                MediaTime.FromSeconds(isQuery ? -off : off),
                match.Lags.Counted[i]));
        }

        return votes.ToImmutable();
    }

    /// <summary>Measures the other channels of the clip against the partner by which the clip was placed.</summary>
    private ImmutableArray<MicDelay> Delays(PairMatch match, int clip, double travel)
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
            delays.Add(new MicDelay(mic, MediaTime.FromSeconds((delay ?? 0) + travel), delay is not null));
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
