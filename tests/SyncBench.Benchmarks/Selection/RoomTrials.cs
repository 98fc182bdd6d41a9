using System.Globalization;
using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>The judgement of room sound against the room as it was built. A room has no beginning and no end: each mic of a take is one case.</summary>
internal sealed class RoomTrials
{
    /// <summary>Nearer to the limit than this a mic may be called either.</summary>
    private const double EitherDb = 3;

    private readonly List<(double TrueDb, RoomSound? Judged)> _cases = [];

    internal static RoomTrials Together(IEnumerable<RoomTrials> talks)
    {
        var all = new RoomTrials();
        all._cases.AddRange(talks.SelectMany(talk => talk._cases));
        return all;
    }

    internal void Judge(TakeSound chosen, TalkBase talk)
    {
        for (int mic = 0; mic < talk.Plan.Mics.Count; mic++)
        {
            string name = talk.Plan.Mics[mic].Name;
            _cases.Add((talk.DirectToReverberantDb[mic], chosen.Rooms.FirstOrDefault(room => room.Source.Clip.Device.Name == name)));
        }
    }

    internal DetectorRow Row()
    {
        var clear = _cases.Where(mic => Math.Abs(mic.TrueDb - RoomSound.RoomyDb) >= EitherDb).ToArray();
        int roomy = clear.Count(mic => mic.TrueDb < RoomSound.RoomyDb), found = clear.Count(mic => mic.Judged is { IsRoomy: true });
        double right = clear.Count(mic => mic.TrueDb < RoomSound.RoomyDb && mic.Judged is { IsRoomy: true });
        return new DetectorRow("room sound, whole mics", roomy, right / roomy, found, right / found, null, null, null, null);
    }

    internal Requirement Required()
    {
        double[] errors = [.. _cases.Where(mic => mic.Judged is not null).Select(mic => Math.Abs(mic.Judged!.DirectToReverberantDb - mic.TrueDb)).Order()];
        return new(
            "mics whose room sound is judged (error of the ratio p50 / p95)", "all",
            string.Create(
                CultureInfo.InvariantCulture,
                $"{errors.Length} of {_cases.Count} ({errors[errors.Length / 2]:0.0} / {errors[(int)(0.95 * errors.Length)]:0.0} dB)"),
            _cases.Count, errors.Length == _cases.Count);
    }
}
