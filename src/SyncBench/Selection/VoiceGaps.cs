using System.Numerics.Tensors;

namespace SyncBench.Selection;

/// <summary>By how much a mic's noise is raised in the gaps of the voice, and what that says for an automatic gain.</summary>
internal sealed class VoiceGaps
{
    /// <summary>What is less even over the bands is no noise alone.</summary>
    private const float EvenDb = 2;

    /// <summary>Noise that has come up, and noise that has not; what lies in between may be either.</summary>
    private const float RaisedDb = 2;
    private const float UsualDb = 1;

    /// <summary>What a step says for a gain where the noise has come up, and against it where it has not, once the voice has been gone for so long.</summary>
    private const double OddsOfRaised = 0.4;
    private const double OddsOfUsual = 0.2;
    private const double StepsToRise = 50;

    private const double PriceOfChange = 4;

    /// <summary>A slam of a door is in one gap; it takes several.</summary>
    private const double LeastForIt = 15;

    /// <summary>dB in a step by which noise comes up at least, in the first second of its gaps.</summary>
    private const double LeastRise = 0.02;
    private const int WhileItRises = 100;

    /// <summary>Noise that is plainly heard to stand higher; steps between that are not clear are bridged.</summary>
    private const float HeardDb = 2.4f;
    private const int ShortestHeard = 7;
    private const int Bridged = 3;

    /// <summary>What falls by more within 60 ms is an echo.</summary>
    private const float FallingDb = 1.2f;
    private const int Beside = 3;

    /// <summary>The word ahead hides the last steps.</summary>
    private const int Hidden = 2;

    private readonly List<(int First, float[] RaisedDb)> _gaps = [];
    private readonly double[] _odds;
    private readonly bool[] _heard;

    public VoiceGaps(int steps) => (_odds, _heard) = (new double[steps], new bool[steps]);

    /// <summary>In order of time.</summary>
    /// <param name="elsewhereDb">By how much the noise of every other mic is raised, too.</param>
    public void Add(int first, RaisedNoise own, float[] elsewhereDb)
    {
        float[] raisedDb = Steps.Of(elsewhereDb.Length, i => own.UnevenDb[i] < EvenDb ? own.Db[i] - elsewhereDb[i] : float.NaN);
        for (int i = 0; i < raisedDb.Length; i++)
        {
            _odds[first + i] = raisedDb[i] >= RaisedDb ? OddsOfRaised : raisedDb[i] < UsualDb ? -OddsOfUsual * Math.Min(1, i / StepsToRise) : 0;
            _heard[first + i] = raisedDb[i] >= HeardDb
                && own.Db[Math.Min(raisedDb.Length - 1, i + Beside)] - own.Db[Math.Max(0, i - Beside)] > -FallingDb;
        }

        _gaps.Add((first, raisedDb));
    }

    /// <summary>Stretches in which a gain rides the mic, each from the first to the last that is heard of it.</summary>
    public IEnumerable<(int First, int End)> Ridden()
    {
        foreach ((int first, int end) in FaultSpans.Runs(LikeliestCourse.Of(_odds.Length, i => _odds[i], PriceOfChange)))
        {
            (int First, int End)[] heard = [.. Heard(first, end)];
            if (heard.Length > 0 && TensorPrimitives.Sum<double>(_odds.AsSpan(first, end - first)) >= LeastForIt && Rise(first, end) >= LeastRise)
            {
                yield return (heard[0].First, Math.Min(_odds.Length, heard[^1].End + Hidden));
            }
        }
    }

    private IEnumerable<(int First, int End)> Heard(int first, int end) =>
        FaultSpans.Runs(_heard[first..end], Bridged + 1)
            .Where(run => run.End - run.First >= ShortestHeard)
            .Select(run => (first + run.First, first + run.End));

    /// <summary>dB a step: the slope that fits all gaps of a stretch best, each at its own height.</summary>
    private double Rise(int first, int end)
    {
        double products = 0, squares = 0;
        foreach ((int from, float[] raisedDb) in _gaps.Where(gap => gap.First >= first && gap.First < end))
        {
            int[] clear = [.. Enumerable.Range(0, Math.Min(raisedDb.Length, Math.Min(WhileItRises, end - from))).Where(i => !float.IsNaN(raisedDb[i]))];
            if (clear.Length > 1)
            {
                double middle = clear.Average(), height = clear.Average(i => raisedDb[i]);
                products += clear.Sum(i => (i - middle) * (raisedDb[i] - height));
                squares += clear.Sum(i => (i - middle) * (i - middle));
            }
        }

        return squares > 0 ? products / squares : 0;
    }
}
