using SyncBench.Selection.Speakers;

namespace SyncBench.Tests.Selection.Speakers;

public class TalkPathTests
{
    private const int HopsASecond = 20;

    /// <summary>The first and the last may be cut off by the take.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void NoSpeech_IsShorterThanSevenTenthsOfASecond(int seed)
    {
        var random = new Random(seed);
        Speaking[] path = TalkPath.Likeliest(Noise(random), Noise(random));

        Assert.NotEmpty(Runs(path));
        Assert.All(Runs(path)[1..^1], run => Assert.InRange(run.Hops, run.Who == Speaking.Neither ? 4 : 14, int.MaxValue));
    }

    [Fact]
    public void ClearEvidence_IsFollowedExactly()
    {
        float[] subject = Evidence((1, 4), (7, 9)), interviewer = Evidence((5, 6), (8, 10));

        Assert.Equal(
            [
                (Speaking.Neither, 20), (Speaking.Subject, 60), (Speaking.Neither, 20), (Speaking.Interviewer, 20), (Speaking.Neither, 20),
                (Speaking.Subject, 20), (Speaking.Both, 20), (Speaking.Interviewer, 20), (Speaking.Neither, 40),
            ],
            Runs(TalkPath.Likeliest(subject, interviewer)));
    }

    /// <summary>Viterbi, IEEE Trans. Information Theory 13(2), 1967: no other course is likelier. All of them are tried.</summary>
    [Theory]
    [InlineData(4)]
    [InlineData(5)]
    public void OfTwoStretches_NoOtherPlaceOfTheChangeIsLikelier(int seed)
    {
        var random = new Random(seed);
        float[] subject = [.. Enumerable.Range(0, 60).Select(hop => (hop < 30 ? 0.2f : -0.2f) + (float)random.NextDouble() - 0.5f)];
        float[] interviewer = Array.ConvertAll(subject, evidence => -2f);
        Speaking[] path = TalkPath.Likeliest(subject, interviewer);

        int change = Array.FindLastIndex(path, who => who == Speaking.Subject) + 1;
        Assert.Equal([(Speaking.Subject, change), (Speaking.Neither, 60 - change)], Runs(path));
        Assert.Equal(
            Enumerable.Range(14, 43).Max(at => subject[..at].Sum()), subject[..change].Sum(), 3);
    }

    private static float[] Noise(Random random) =>
        [.. Enumerable.Range(0, 400).Select(_ => (float)((random.NextDouble() * 8) - 4))];

    private static float[] Evidence(params (int From, int To)[] seconds) =>
    [
        .. Enumerable.Range(0, 12 * HopsASecond).Select(hop =>
            seconds.Any(s => hop >= s.From * HopsASecond && hop < s.To * HopsASecond) ? 1f : -1f),
    ];

    private static List<(Speaking Who, int Hops)> Runs(Speaking[] path)
    {
        var runs = new List<(Speaking Who, int Hops)>();
        foreach (Speaking who in path)
        {
            if (runs.Count > 0 && runs[^1].Who == who)
            {
                runs[^1] = (who, runs[^1].Hops + 1);
            }
            else
            {
                runs.Add((who, 1));
            }
        }

        return runs;
    }
}
