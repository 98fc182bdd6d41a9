using SyncBench.Media;
using SyncBench.Scenes;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class VoicesTests(ITestOutputHelper output)
{
    private const double Length = 110;

    /// <summary>Cloth makes a lavalier as loud as if somebody were nearer to it than its wearer is.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task WhoWearsTheLavalier_IsNotTheOneWhoAsks(bool rustles)
    {
        float[] close = await Ropewalk.HearAsync(Ropewalk.Lavalier, 26), far = await Ropewalk.HearAsync(Ropewalk.Scratch, 20);
        if (rustles)
        {
            foreach (double at in new[] { 12.0, 45, 80 })
            {
                close = TestSound.Sum(close, Padded(Ropewalk.Rustle(at, 4, -14), close.Length));
            }
        }

        bool[] asks = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, close))
            .Clip("CAM_A", DeviceKind.Camera, 0, (MicRole.Scratch, far))
            .Mics(0, Length).Far;
        double subject = await ShareAsync(asks, Speaker.Subject), interviewer = await ShareAsync(asks, Speaker.Interviewer);
        output.WriteLine(FormattableString.Invariant($"{subject:0.00} of the subject's speech, {interviewer:0.00} of the interviewer's"));
        Assert.True(subject < 0.1);
        Assert.True(interviewer > 0.9);
    }

    private static async Task<double> ShareAsync(bool[] asks, Speaker speaker)
    {
        int[] steps =
        [
            .. (await Ropewalk.SentencesAsync(speaker)).SelectMany(sentence =>
                Enumerable.Range((int)(sentence.From * 100), (int)((sentence.To - sentence.From) * 100)).Where(step => step < asks.Length)),
        ];
        return (double)steps.Count(step => asks[step]) / steps.Length;
    }

    private static float[] Padded(float[] sound, int length) => [.. sound, .. new float[length - sound.Length]];
}
