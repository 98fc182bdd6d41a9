using SyncBench.Scenes;

namespace SyncBench.Tests.Scenes;

public class ShoeboxRoomTests
{
    private static readonly Point Size = new(7.8, 5.4, 3.5);
    private static readonly Point Talker = new(2.78, 2.54, 1.20);
    private static readonly Point Mic = new(5.68, 3.88, 1.58);

    [Theory]
    [InlineData(0.25)]
    [InlineData(0.9)]
    [InlineData(3.2)]
    public void DirectSound_ArrivesAfterDistanceOverSpeed_ToAHundredthOfASample(double metres)
    {
        var mic = new Point(Talker.X + metres, Talker.Y, Talker.Z);
        ImpulseResponse response = new ShoeboxRoom(Size, rt60: 0).Response(Talker, mic, PickupPattern.AllRound);
        double expected = metres / 343.2 * 48_000;

        foreach (double hz in new[] { 200.0, 1000, 5000, 12_000 })
        {
            // Delay is −phase/ω; the phase is taken about the expected place, so that it does not wrap.
            (double re, double im) = (0, 0);
            for (int n = 0; n < response.Samples.Length; n++)
            {
                double turn = 2 * Math.PI * hz / 48_000 * (n - response.Lead - expected);
                re += response.Samples[n] * Math.Cos(turn);
                im -= response.Samples[n] * Math.Sin(turn);
            }

            Assert.Equal(0, -Math.Atan2(im, re) / (2 * Math.PI * hz / 48_000), 0.01);
            Assert.Equal(1 / metres, Math.Sqrt((re * re) + (im * im)), 0.001 / metres);
        }
    }

    /// <summary>Each wall mirrors the talker (Allen and Berkley 1979): plain geometry, written out wall by wall.</summary>
    [Fact]
    public void FirstReflections_ComeFromTheTalkerMirroredInEachWall()
    {
        var room = new ShoeboxRoom(Size, rt60: 0.1); // so short that second reflections are weak
        var mic = new Point(3.08, 1.11, 1.00); // the six arrive at least a metre apart here
        ImpulseResponse response = room.Response(Talker, mic, PickupPattern.AllRound);
        Point[] mirrored =
        [
            Talker with { X = -Talker.X }, Talker with { X = (2 * Size.X) - Talker.X },
            Talker with { Y = -Talker.Y }, Talker with { Y = (2 * Size.Y) - Talker.Y },
            Talker with { Z = -Talker.Z }, Talker with { Z = (2 * Size.Z) - Talker.Z },
        ];
        foreach (Point image in mirrored)
        {
            double metres = image.DistanceTo(mic);
            int at = response.Lead + (int)Math.Round(metres / 343.2 * 48_000);
            int peak = Enumerable.Range(at - 3, 7).MaxBy(i => response.Samples[i]);
            Assert.InRange(peak, at - 1, at + 1);

            // A pulse between two samples shows at least sinc(½) = 64 % of its height on the nearer; neighbours add a little.
            Assert.InRange(response.Samples[peak], 0.6 * room.Reflection / metres, 1.3 * room.Reflection / metres);
        }
    }

    /// <summary>
    /// Schroeder's backward integration in the octave of 1 kHz, as ISO 3382-2 has it (from memory); T30 here, on two
    /// points, so that the room's own measure is not used to test itself.
    /// </summary>
    [Theory]
    [InlineData(0.3)]
    [InlineData(0.45)]
    [InlineData(1.0)]
    public void Reverberation_LastsAsLongAsAsked(double rt60)
    {
        ImpulseResponse response = new ShoeboxRoom(Size, rt60).Response(Talker, Mic, PickupPattern.AllRound);
        float[] octave = SpectrumShape.Band(707, 1414, 1024).Filter(response.Samples);
        var left = new double[octave.Length + 1];
        for (int i = octave.Length - 1; i >= 0; i--)
        {
            left[i] = left[i + 1] + ((double)octave[i] * octave[i]);
        }

        int Below(double db) => Array.FindIndex(left, energy => energy < left[0] * Math.Pow(10, db / 10));
        double measured = (Below(-35) - Below(-5)) * 2 / 48_000.0;
        Assert.InRange(measured, 0.85 * rt60, 1.15 * rt60);
    }

    [Fact]
    public void AMicThatIsAimed_HearsLessFromBehind()
    {
        var room = new ShoeboxRoom(Size, rt60: 0);
        PickupPattern aimed = PickupPattern.Supercardioid(Talker);
        var behind = new Point((2 * Mic.X) - Talker.X - 1, (2 * Mic.Y) - Talker.Y, Mic.Z);
        double front = room.Response(Talker, Mic, aimed).DirectGain * Talker.DistanceTo(Mic);
        double back = Math.Abs(aimed.Gain(Mic, behind));
        Assert.Equal(1, front, 1e-9);
        Assert.InRange(back, 0, 0.3);
    }
}
