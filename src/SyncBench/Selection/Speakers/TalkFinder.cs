using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;

namespace SyncBench.Selection.Speakers;

/// <summary>Tells who speaks when: the lavalier hears its wearer near and everybody else far.</summary>
/// <remarks>
/// Between the lavalier and a mic elsewhere the two talkers differ in level by what nobody has to know beforehand: the
/// talk's own two clusters show it, band by band. What lies nearer to one of them is that talker's, so both can speak at
/// once. Deterministic.
/// </remarks>
internal static class TalkFinder
{
    /// <summary>Excess over the noise at which a talker is as likely to speak as not.</summary>
    private const float SpeakingDb = 2.2f;

    /// <summary>Log-likelihood of a hop for each dB beyond that, and the most that a hop may say.</summary>
    private const float PerDb = 0.5f, Most = 1.5f;

    private const float SureOfTalker = 0.95f;

    /// <summary>Of a window's evidence, in each of its hops.</summary>
    private const float LagWeight = 0.25f;

    /// <param name="sound">Samples of a clip, for the order of arrival; null where they are not at hand.</param>
    public static Talk Of(TakeMics mics, Func<Clip, SoundStore?> sound)
    {
        MicLine[] lines = MicLine.Of(mics);
        MicLine[] lavaliers = [.. lines.Where(line => line.Role == MicRole.Lavalier)];
        if (lines.Length < 2)
        {
            return Talk.Untold("only one mic rolls: who speaks cannot be told");
        }

        if (lavaliers.Length == 0)
        {
            return Talk.Untold("no lavalier rolls: who is near a mic cannot be told");
        }

        var room = new PairLevels(mics.Grid);
        MicLine subject = Subjects(lavaliers, room);
        (MicLine Far, PairEvidence Levels)[] all =
        [
            .. lines.Where(line => line != subject)
                .Select(far => (Far: far, Levels: PairEvidence.Of(room.Of(subject, far))))
                .Where(pair => pair.Levels is not null)
                .Select(pair => (pair.Far, pair.Levels!))
                .OrderByDescending(pair => pair.Item2.Weight),
        ];
        PairEvidence[] pairs = [.. all.Select(pair => pair.Levels).Where(pair => pair.SeparationDb >= MicMatch.TwoTalkersDb)];
        (PairEvidence levels, PairLags lags) = all
            .Select(pair => (pair.Levels, Lags: PairLags.Of(mics.Grid, subject, pair.Far, pair.Levels, sound)))
            .FirstOrDefault(pair => pair.Lags.TwoPlaces is not null);
        if (lags is { TwoPlaces: true } && pairs.Length == 0)
        {
            pairs = [levels];
        }

        if (pairs.Length == 0 && lags is not { TwoPlaces: false })
        {
            return Talk.Untold("the mics hear one voice, or two that differ too little: who speaks cannot be told");
        }

        Speaking[] path = pairs.Length == 0 ? OneVoice(levels) : TwoVoices(pairs, lags?.Evidence);
        ImmutableArray<SpeechStretch> stretches = Stretches(path, mics);
        return new Talk(stretches, Turns.Of(stretches), CannotTell: null);
    }

    private static Speaking[] TwoVoices(PairEvidence[] pairs, float[]? lags)
    {
        (float[] near, float[] far) = Combined(pairs);
        float[] subject = Likelihood(near, far, Leak(pairs, subject: false));
        float[] interviewer = Likelihood(far, near, Leak(pairs, subject: true));
        for (int hop = 0; lags is not null && hop < lags.Length; hop++)
        {
            subject[hop] -= LagWeight * lags[hop];
            interviewer[hop] += LagWeight * lags[hop];
        }

        return SoftEnds.Carried(TalkPath.Likeliest(subject, interviewer), Heard(pairs));
    }

    /// <summary>All speech comes from one place: the subject's.</summary>
    private static Speaking[] OneVoice(PairEvidence pair)
    {
        float[] nobody = [.. pair.Subject.Select(_ => -Most)];
        float[] heard = [.. pair.Subject.Zip(pair.Interviewer, (near, far) => near + far)];
        return TalkPath.Likeliest(Likelihood(heard, nobody, leak: 0), nobody);
    }

    /// <summary>Of several lavaliers that of who speaks most.</summary>
    private static MicLine Subjects(MicLine[] lavaliers, PairLevels room)
    {
        MicLine subject = lavaliers[0];
        foreach (MicLine other in lavaliers[1..])
        {
            if (PairEvidence.Of(room.Of(subject, other)) is { HighShare: < 0.5 })
            {
                subject = other;
            }
        }

        return subject;
    }

    /// <summary>Means over the pairs that tell at each hop, those that part the talkers better counting more.</summary>
    private static (float[] Near, float[] Far) Combined(PairEvidence[] pairs)
    {
        int hops = pairs[0].Subject.Length;
        var (near, far) = (new float[hops], new float[hops]);
        for (int hop = 0; hop < hops; hop++)
        {
            double weights = 0, nearSum = 0, farSum = 0;
            foreach (PairEvidence pair in pairs.Where(pair => !float.IsNaN(pair.Subject[hop])))
            {
                double weight = pair.Weight;
                weights += weight;
                nearSum += weight * pair.Subject[hop];
                farSum += weight * pair.Interviewer[hop];
            }

            near[hop] = weights > 0 ? (float)(nearSum / weights) : float.NaN;
            far[hop] = weights > 0 ? (float)(farSum / weights) : float.NaN;
        }

        return (near, far);
    }

    /// <summary>dB by which any mic of the pairs stands above its noise, one a hop.</summary>
    private static float[] Heard(PairEvidence[] pairs)
    {
        float[] heard = [.. pairs[0].Heard];
        foreach (PairEvidence pair in pairs[1..])
        {
            for (int hop = 0; hop < heard.Length; hop++)
            {
                heard[hop] = float.IsNaN(heard[hop]) ? pair.Heard[hop] : Math.Max(heard[hop], pair.Heard[hop]);
            }
        }

        return heard;
    }

    /// <summary>How much of one talker is taken for the other: three of four hops in which only one speaks show less.</summary>
    private static float Leak(PairEvidence[] pairs, bool subject)
    {
        var shares = new List<float>();
        foreach (PairEvidence pair in pairs)
        {
            float[] speaks = subject ? pair.Subject : pair.Interviewer, other = subject ? pair.Interviewer : pair.Subject;
            for (int hop = 0; hop < speaks.Length; hop++)
            {
                float sure = subject ? pair.SubjectShare[hop] : 1 - pair.SubjectShare[hop];
                if (sure > SureOfTalker && speaks[hop] > 2 * SpeakingDb)
                {
                    shares.Add(other[hop] / speaks[hop]);
                }
            }
        }

        shares.Sort();
        return shares.Count == 0 ? 0 : shares[shares.Count * 3 / 4];
    }

    private static float[] Likelihood(float[] talker, float[] other, float leak)
    {
        var likelihood = new float[talker.Length];
        for (int hop = 0; hop < talker.Length; hop++)
        {
            float beyond = talker[hop] - SpeakingDb - (leak * other[hop]);
            likelihood[hop] = float.IsNaN(beyond) ? 0 : Math.Clamp(PerDb * beyond, -Most, Most);
        }

        return likelihood;
    }

    private static ImmutableArray<SpeechStretch> Stretches(Speaking[] path, TakeMics mics)
    {
        var stretches = ImmutableArray.CreateBuilder<SpeechStretch>();
        for (int first = 0, hop = 1; hop <= path.Length; hop++)
        {
            if (hop < path.Length && path[hop] == path[first])
            {
                continue;
            }

            if (path[first] != Speaking.Neither)
            {
                int end = Math.Min(mics.Grid.Steps, hop * PairLevels.StepsInHop);
                stretches.Add(new SpeechStretch(
                    mics.Grid.Between(first * PairLevels.StepsInHop, end).Intersect(mics.Take), path[first]));
            }

            first = hop;
        }

        return stretches.ToImmutable();
    }
}
