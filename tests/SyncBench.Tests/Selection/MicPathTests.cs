using SyncBench.Selection;

namespace SyncBench.Tests.Selection;

public class MicPathTests
{
    [Fact]
    public void TheCheaperMic_IsTakenThroughout() =>
        Assert.All(Path(1000, Cost(1000, _ => 0.02f), Cost(1000, _ => 0.01f)), mic => Assert.Equal(1, mic));

    [Fact]
    public void AChange_WaitsForTheCheapPlace()
    {
        // From step 500 the other mic is better; changing costs little only at step 540.
        var prices = new float[1000];
        Array.Fill(prices, 50f);
        prices[540] = 1;
        int[] path = MicPath.Cheapest(
            [Cost(1000, s => s < 500 ? 0 : 0.1f), Cost(1000, s => s < 500 ? 0.1f : 0)], prices);
        Assert.Equal(540, Array.IndexOf(path, 1));
    }

    [Fact]
    public void NoSegment_IsShorterThanTheMinimum()
    {
        var random = new Random(1);
        float[] wobble = [.. Enumerable.Range(0, 40).Select(_ => random.NextSingle())];
        int[] path = Path(4000, price: 0.1f, Cost(4000, s => wobble[s / 100]), Cost(4000, s => 1 - wobble[s / 100]));
        Assert.Contains(0, path);
        Assert.Contains(1, path);
        Assert.All(Lengths(path).SkipLast(1), length => Assert.True(length >= MicPath.Shortest));
        Assert.True(Lengths(path)[^1] >= MicPath.Shortest);
    }

    [Fact]
    public void AFault_MayCutASegmentShort()
    {
        MicCosts best = Cost(1000, s => s is >= 400 and < 420 ? 10 : 0);
        MicCosts second = Cost(1000, s => s is >= 450 and < 460 ? 10 : 0.01f, mayLeave: s => s is >= 400 and < 460);
        int[] path = Path(1000, price: 0.5f, best, second);
        Assert.Equal(1, path[410]);
        Assert.Equal(0, path[455]);
    }

    [Fact]
    public void AMicThatDoesNotRoll_IsNeverTaken()
    {
        int[] path = Path(
            1000,
            new MicCosts(100, new float[200], new bool[200]),
            new MicCosts(250, new float[300], new bool[300]),
            new MicCosts(700, new float[100], new bool[100]));
        Assert.All(path[..100], mic => Assert.Equal(-1, mic));
        Assert.All(path[100..250], mic => Assert.Equal(0, mic));
        Assert.All(path[300..550], mic => Assert.Equal(1, mic));
        Assert.All(path[550..700], mic => Assert.Equal(-1, mic));
        Assert.All(path[700..800], mic => Assert.Equal(2, mic));
        Assert.All(path[800..], mic => Assert.Equal(-1, mic));
    }

    /// <summary>Where no minimum bites, the path must cost what exhaustive search over all places of change finds.</summary>
    [Fact]
    public void TheCost_IsTheLeastOverAllSingleChanges()
    {
        for (int seed = 0; seed < 20; seed++)
        {
            var random = new Random(seed);
            float[] left = [.. Enumerable.Range(0, 900).Select(_ => random.NextSingle())];
            float[] right = [.. Enumerable.Range(0, 900).Select(s => random.NextSingle() + (s < 450 ? 0.4f : -0.4f))];
            float[] prices = [.. Enumerable.Range(0, 900).Select(_ => 20 + random.NextSingle())];
            int[] path = MicPath.Cheapest(
                [new MicCosts(0, left, new bool[900]), new MicCosts(0, right, new bool[900])], prices);

            double least = Math.Min(left.Sum(x => (double)x), right.Sum(x => (double)x));
            for (int change = MicPath.Shortest + 1; change < 900 - MicPath.Shortest; change++)
            {
                double ahead = left.Take(change).Sum(x => (double)x) + right.Skip(change).Sum(x => (double)x);
                least = Math.Min(least, ahead + prices[change]);
            }

            Assert.Equal(least, Spent(path, [left, right], prices), 1e-6);
        }
    }

    private static double Spent(int[] path, float[][] costs, float[] prices)
    {
        double sum = 0;
        for (int step = 0; step < path.Length; step++)
        {
            sum += costs[path[step]][step] + (step > 0 && path[step] != path[step - 1] ? prices[step] : 0);
        }

        return sum;
    }

    private static MicCosts Cost(int steps, Func<int, float> cost, Func<int, bool>? mayLeave = null) => new(
        0,
        [.. Enumerable.Range(0, steps).Select(cost)],
        [.. Enumerable.Range(0, steps).Select(mayLeave ?? (_ => false))]);

    private static int[] Path(int steps, params MicCosts[] mics) => Path(steps, 1, mics);

    private static int[] Path(int steps, float price, params MicCosts[] mics)
    {
        var prices = new float[steps];
        Array.Fill(prices, price);
        return MicPath.Cheapest(mics, prices);
    }

    private static List<int> Lengths(int[] path)
    {
        var lengths = new List<int> { 1 };
        for (int step = 1; step < path.Length; step++)
        {
            if (path[step] == path[step - 1])
            {
                lengths[^1]++;
            }
            else
            {
                lengths.Add(1);
            }
        }

        return lengths;
    }
}
