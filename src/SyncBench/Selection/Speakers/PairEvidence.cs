using SyncBench.Alignment;

namespace SyncBench.Selection.Speakers;

/// <summary>How strongly the subject and the interviewer are heard, by the levels of one pair of mics.</summary>
/// <param name="Subject">dB above the lavalier's noise in what is nearer to it, one a hop; NaN where the pair does not tell.</param>
/// <param name="Interviewer">dB above the far mic's noise in what is nearer to that, one a hop.</param>
/// <param name="Heard">dB above the noise of the mic that stands further above its own, whoever speaks, one a hop; NaN likewise.</param>
/// <param name="SubjectShare">Probability that what is heard is the subject, by level alone.</param>
/// <param name="SeparationDb">How far apart the two talkers' level differences lie.</param>
internal sealed record PairEvidence(
    float[] Subject, float[] Interviewer, float[] Heard, float[] SubjectShare, double SeparationDb, double SpreadDb, double HighShare)
{
    /// <summary>How well the pair parts the talkers.</summary>
    public double Weight => SeparationDb / SpreadDb;

    /// <summary>Importance-weighted excess over the noise below which a hop says nothing about levels.</summary>
    private const float LeastExcessDb = 4;

    private const int LowestDifference = -200, HighestDifference = 200;

    /// <summary>Logistic steepness: at the centres of the two talkers a band is taken for theirs by 95 %.</summary>
    private const float Steepness = 6;

    private const int CapHalfDb = 40;
    private const int ClearHalfDb = 12;
    private const int FewestCells = 20;
    private const double SureOfTalker = 0.9;
    private const float NarrowestHalfDb = 8;

    /// <summary>Null where the two mics never hear speech together.</summary>
    public static PairEvidence? Of(PairLevels levels)
    {
        float[] differences = Differences(levels);
        var histogram = new double[HighestDifference - LowestDifference + 1];
        foreach (float difference in differences)
        {
            if (!float.IsNaN(difference))
            {
                histogram[Math.Clamp((int)MathF.Round(difference), LowestDifference, HighestDifference) - LowestDifference]++;
            }
        }

        if (TwoClusters.Of(LowestDifference, 1, histogram) is not { } clusters)
        {
            return null;
        }

        float[] shares = Array.ConvertAll(
            differences, difference => float.IsNaN(difference) ? float.NaN : (float)clusters.ShareOfHigh(difference));
        (float[] subject, float[] interviewer) = Centres(levels, shares, clusters);
        (float[] near, float[] far, float[] heard) = Excess(levels, subject, interviewer);
        return new PairEvidence(near, far, heard, shares, clusters.Separation / 2, clusters.Spread / 2, clusters.HighShare);
    }

    /// <summary>Level at the lavalier less that at the far mic, half dB, of what is heard; NaN where little is.</summary>
    private static float[] Differences(PairLevels levels)
    {
        var differences = new float[levels.Hops];
        Array.Fill(differences, float.NaN);
        for (int hop = 0; hop < levels.Hops; hop++)
        {
            if (!levels.Valid[hop])
            {
                continue;
            }

            ReadOnlySpan<byte> close = levels.Close(hop), far = levels.Far(hop);
            ReadOnlySpan<short> difference = levels.Difference(hop);
            float sum = 0, weights = 0;
            for (int band = SpeechBands.First; band < BandLevels.Bands; band++)
            {
                float weight = SpeechBands.Importance[band] * Math.Min(CapHalfDb, (int)Math.Max(close[band], far[band]));
                sum += weight * difference[band];
                weights += weight;
            }

            if (weights > 2 * LeastExcessDb)
            {
                differences[hop] = sum / weights;
            }
        }

        return differences;
    }

    /// <summary>By band, the median difference in hops that surely are one talker's.</summary>
    private static (float[] Subject, float[] Interviewer) Centres(PairLevels levels, float[] shares, TwoClusters clusters)
    {
        var subject = new float[BandLevels.Bands];
        var interviewer = new float[BandLevels.Bands];
        for (int band = SpeechBands.First; band < BandLevels.Bands; band++)
        {
            subject[band] = Median(levels, shares, band, share => share > SureOfTalker, (float)clusters.High);
            interviewer[band] = Median(levels, shares, band, share => share < 1 - SureOfTalker, (float)clusters.Low);
        }

        return (subject, interviewer);
    }

    private static float Median(PairLevels levels, float[] shares, int band, Predicate<float> counts, float otherwise)
    {
        var cells = new List<float>();
        for (int hop = 0; hop < levels.Hops; hop++)
        {
            if (counts(shares[hop]) && Math.Max(levels.Close(hop)[band], levels.Far(hop)[band]) >= ClearHalfDb)
            {
                cells.Add(levels.Difference(hop)[band]);
            }
        }

        if (cells.Count < FewestCells)
        {
            return otherwise;
        }

        cells.Sort();
        return cells[cells.Count / 2];
    }

    private static (float[] Subject, float[] Interviewer, float[] Heard) Excess(PairLevels levels, float[] subject, float[] interviewer)
    {
        var near = new float[levels.Hops];
        var far = new float[levels.Hops];
        var heard = new float[levels.Hops];
        for (int hop = 0; hop < levels.Hops; hop++)
        {
            if (!levels.Valid[hop])
            {
                (near[hop], far[hop], heard[hop]) = (float.NaN, float.NaN, float.NaN);
                continue;
            }

            ReadOnlySpan<byte> close = levels.Close(hop), away = levels.Far(hop);
            ReadOnlySpan<short> difference = levels.Difference(hop);
            for (int band = SpeechBands.First; band < BandLevels.Bands; band++)
            {
                float width = Math.Max(NarrowestHalfDb, subject[band] - interviewer[band]);
                float middle = (subject[band] + interviewer[band]) / 2;
                float share = 1 / (1 + MathF.Exp(-Steepness * (difference[band] - middle) / width));
                near[hop] += SpeechBands.Importance[band] * share * Math.Min(CapHalfDb, (int)close[band]) / 2;
                far[hop] += SpeechBands.Importance[band] * (1 - share) * Math.Min(CapHalfDb, (int)away[band]) / 2;
                heard[hop] += SpeechBands.Importance[band] * Math.Min(CapHalfDb, (int)Math.Max(close[band], away[band])) / 2;
            }
        }

        return (near, far, heard);
    }
}
