namespace SyncBench.Benchmarks.Speakers;

/// <summary>How a talk is mixed.</summary>
/// <param name="BelowDb">Interviewer below the subject at the lavalier; null as the places make it.</param>
/// <param name="AboveDb">Interviewer above the subject at the first camera; null as the places make it.</param>
/// <param name="SnrDb">Subject's speech over noise at the first camera, 200 to 7500 Hz; traffic rumbles 6 dB above that noise.</param>
internal sealed record Condition(string Name, double? BelowDb, double? AboveDb, double SnrDb)
{
    /// <summary>The second camera keeps the levels that its place makes.</summary>
    internal int Cameras { get; init; } = 1;

    internal double LavalierSnrDb { get; init; } = 30;

    /// <summary>Each talker grows louder and softer by so much within half a minute; the lavalier's wearer turns away by half of it.</summary>
    internal double MovingDb { get; init; }

    /// <summary>After so many questions the interviewer is silent.</summary>
    internal int Questions { get; init; } = int.MaxValue;

    /// <summary>As the issue asks: 10 dB or more below at the lavalier, and the reverse at the camera.</summary>
    internal bool IsAsked => BelowDb >= 10 && AboveDb >= 10 && Questions == int.MaxValue;

    /// <summary>When the interviewer falls silent, in seconds.</summary>
    internal double AsksUntil(Script script) => script.Turns.Where(turn => !turn.IsAnswer) is var asked && Questions < asked.Count()
        ? asked.Take(Questions).Select(turn => turn.To + 0.1).LastOrDefault()
        : double.PositiveInfinity;

    internal static readonly Condition[] All =
    [
        new("10 dB below, 10 above, 20 dB SNR", 10, 10, 20),
        new("10 dB below, 10 above, 10 dB SNR", 10, 10, 10),
        new("10 dB below, 10 above, 0 dB SNR", 10, 10, 0),
        new("15 dB below, 10 above, 20 dB SNR", 15, 10, 20),
        new("10 dB below, 15 above, lavalier 20 dB SNR", 10, 15, 20) { LavalierSnrDb = 20 },
        new("10 dB below, 10 above, levels move by 6 dB", 10, 10, 20) { MovingDb = 6 },
        new("10 dB below, 10 above, two cameras", 10, 10, 20) { Cameras = 2 },
        new("harder: 6 dB below, 6 above", 6, 6, 20),
        new("harder: 4 dB below, 4 above", 4, 4, 20),
        new("as the places make it", null, null, 20),
        new("as the places make it, two cameras", null, null, 10) { Cameras = 2 },
        new("harder: the interviewer asks once", 10, 10, 20) { Questions = 1 },
        new("harder: only the subject is heard", 10, 10, 20) { Questions = 0 },
    ];
}
