using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Selection.Speakers;

namespace SyncBench.Selection;

/// <summary>Chooses, stretch by stretch, the mic with the cleaner dialogue.</summary>
/// <remarks>
/// Each mic costs, at each step of 10 ms, its noise against the speech, its faults and its kind; a change of mic costs
/// little in a pause and much in speech; the cheapest way through the take is taken. Deterministic.
/// </remarks>
public static class MicSelector
{
    private const double StepSeconds = 0.01;

    /// <summary>How much noise in a pause counts against noise under speech.</summary>
    private const float PauseWeight = 0.1f;

    /// <summary>How much a fault in a pause counts against one in speech.</summary>
    private const float FaultPauseWeight = 0.5f;

    /// <summary>A mic may be left this long before its fault, because the last pause lies there.</summary>
    private const int LeaveAhead = 50;

    public static TakeSound Choose(Take take, Func<Clip, ClipSound> sound) => Choose(take, sound, []);

    /// <param name="sound">What was measured of each clip of the take.</param>
    /// <param name="corrections">Of this take; they win.</param>
    /// <exception cref="SettingsException">A correction names a mic or a stretch that the take does not have.</exception>
    public static TakeSound Choose(Take take, Func<Clip, ClipSound> sound, IReadOnlyList<MicCorrection> corrections)
    {
        TakeMics mics = TakeMics.Of(take, sound);
        ImmutableArray<Segment> segments = Segments(mics, MicsByHand.Of(corrections, mics));
        mics = mics with { Joint = [], Audible = [], Ratios = [] }; // 46 MB of six mics for four hours, which nothing below asks for
        MicCurve[] curves = mics.OfEach(mic => MicCurves.Of(mics.Tracks[mic], mics.Grid));
        return new TakeSound(take, segments, Faults(mics), [.. curves])
        {
            Rooms = RoomEar.Of(mics),
            Talk = TalkFinder.Of(mics, clip => sound(clip).Samples),
        };
    }

    private static ImmutableArray<Segment> Segments(TakeMics mics, MicsByHand byHand)
    {
        float[] prices = SwitchPrice.Of(
            mics.Audible,
            mics.Faults.SelectMany(faults => faults.Spans).Where(span => span.Kind.MakesUnfit()));
        MicCosts[] costs = mics.OfEach(mic => Costs(mics, mic));
        byHand.Impose(costs, prices);
        int[] path = MicPath.Cheapest(costs, prices);

        var words = new SegmentReasons(mics);
        return
        [
            .. SegmentEdges.Of(path, byHand.Steps, mics).Select(stretch =>
                new Segment(stretch.CommonRange, mics.Tracks[stretch.Mic].Source, words.For(stretch), stretch.ByHand)),
        ];
    }

    private static MicCosts Costs(TakeMics mics, int mic)
    {
        MicTrack track = mics.Tracks[mic];
        MicFaults faults = mics.Faults[mic];
        float preference = MicPreference.PriceDb(track.Source.Mic.Role);
        float[] costs = FaultPrices(faults, track); // each becomes the whole cost: arrays of hours are not made twice
        for (int i = 0; i < costs.Length; i++)
        {
            float speech = mics.Joint[track.First + i];
            float noise = (SpeechToNoise.HighestDb - mics.Ratios[mic][i] + preference)
                * (PauseWeight + ((1 - PauseWeight) * speech));
            float fault = costs[i] * (FaultPauseWeight + ((1 - FaultPauseWeight) * speech));
            costs[i] = (float)(StepSeconds * (noise + fault));
        }

        return new MicCosts(track.First, costs, MayLeave(faults.Faulty));
    }

    /// <summary>dB, one a step of the mic.</summary>
    private static float[] FaultPrices(MicFaults faults, MicTrack track)
    {
        var prices = new float[track.Count];
        foreach ((FaultKind kind, int first, int end) in faults.Spans)
        {
            int from = Math.Max(0, first - SwitchPrice.FaultMargin - track.First);
            int to = Math.Min(prices.Length, end + SwitchPrice.FaultMargin - track.First);
            for (int i = from; i < to; i++)
            {
                prices[i] += MicPreference.PriceDb(kind);
            }
        }

        return prices;
    }

    private static bool[] MayLeave(bool[] faulty)
    {
        var may = new bool[faulty.Length];
        int untilFault = faulty.Length;
        for (int i = faulty.Length - 1; i >= 0; i--)
        {
            untilFault = faulty[i] ? 0 : untilFault + 1;
            may[i] = untilFault <= LeaveAhead;
        }

        return may;
    }

    private static ImmutableArray<Fault> Faults(TakeMics mics) =>
    [
        .. mics.Tracks
            .SelectMany((track, mic) => mics.Faults[mic].Spans.Select(span =>
                new Fault(span.Kind, track.Source, mics.Grid.Between(span.First, span.End).Intersect(track.CommonRange))))
            .OrderBy(fault => fault.CommonRange.Start),
    ];
}
