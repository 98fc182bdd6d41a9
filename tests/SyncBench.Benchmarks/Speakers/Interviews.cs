namespace SyncBench.Benchmarks.Speakers;

/// <summary>What is rendered: a talk of two voices in a room.</summary>
/// <param name="Subject">A voice: espeak-ng's "model words-a-minute pitch", or the folder of a human one.</param>
/// <param name="Interviewer">The same.</param>
/// <param name="HeldOut">Not looked at while thresholds were set.</param>
internal sealed record InterviewPlan(
    string Name, ulong Seed, double Seconds, double Rt60, string Subject, string Interviewer, bool HeldOut);

internal static class Interviews
{
    private static readonly double[] Rooms = [0.2, 0.4, 0.6, 0.8];

    private static readonly (string Subject, string Interviewer)[] Voices =
    [
        ("en-gb+f2 140 42", "en-gb-x-rp+m3 158 34"),
        ("en_US_f_Allison", "ru_RU_f_IvrvoiceRU"),
        ("en-gb-scotland+m5 150 40", "en-us+m7 165 30"),
        ("it_IT_m_Carlo", "fr_CA_f_June"),
        ("en-us+f4 150 60", "en-029+f3 160 45"),
        ("ru_RU_f_IvrvoiceRU", "it_IT_m_Carlo"),
        ("en-gb-x-gbclan+m1 145 38", "en-gb+f5 150 55"),
        ("fr_CA_f_June", "en_US_f_Allison"),
    ];

    /// <summary>Every second pair of voices is held out, in rooms that differ.</summary>
    internal static IEnumerable<InterviewPlan> All()
    {
        for (int i = 0; i < 16; i++)
        {
            (string subject, string interviewer) = Voices[i % 8];
            yield return new InterviewPlan(
                $"interview-{i + 1:00}", (ulong)(500 + i), 100, Rooms[(i + (i / 4)) % 4], subject, interviewer, HeldOut: i >= 8);
        }
    }
}
