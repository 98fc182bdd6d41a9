using SyncBench.Time;

namespace SyncBench.Tests.Time;

public class MediaTimeTests
{
    /// <summary>2,589,408 frames are a day in drop-frame counting, 86.4 ms less than a day of the sun (arithmetic).</summary>
    [Fact]
    public void ADayOfNtscFrames_AddsUpExactly()
    {
        MediaTime frame = Rate.Ntsc30.Unit, hour = MediaTime.Zero, sum = MediaTime.Zero;
        for (int i = 0; i < 107_892; i++)
        {
            hour += frame;
        }

        for (int i = 0; i < 24; i++)
        {
            sum += hour;
        }

        Assert.Equal(MediaTime.FromUnits(2_589_408, Rate.Ntsc30), sum);
        Assert.Equal(MediaTime.FromUnits(863_999_136, new Rate(10_000)), sum);
    }

    [Fact]
    public void WhatIsAdded_IsTakenAwayAgain()
    {
        MediaTime day = MediaTime.FromUnits(86_400L * 48_000, Rate.Hz48000), frame = Rate.Ntsc30.Unit;

        Assert.Equal(day, day + frame - frame);
        Assert.Equal(MediaTime.Zero, frame - frame);
    }

    [Fact]
    public void Order_IsThatOfTime()
    {
        MediaTime frame = Rate.Ntsc30.Unit, sample = Rate.Hz48000.Unit;

        Assert.True(MediaTime.Zero - frame < sample && sample < frame && frame >= sample);
        Assert.Equal(frame, MediaTime.Max(frame, sample));
        Assert.Equal(sample, MediaTime.Min(frame, sample));
        Assert.Equal(frame, MediaTime.Abs(MediaTime.Zero - frame));
    }

    [Fact]
    public void EqualTimes_AreEqualHoweverCounted()
    {
        MediaTime inFrames = MediaTime.FromUnits(5, Rate.Ntsc30), inSamples = MediaTime.FromUnits(8008, Rate.Hz48000);

        Assert.True(inFrames == inSamples);
        Assert.Equal(inFrames.GetHashCode(), inSamples.GetHashCode());
    }

    [Fact]
    public void WhatDoesNotFit_IsAnErrorAndNoWrongTime() =>
        Assert.Throws<OverflowException>(() => MediaTime.FromUnits(long.MaxValue, new Rate(1, 2)));

    /// <summary>1601.6 samples a frame: the five-frame sequence of 48 kHz sound at 29.97 frames a second.</summary>
    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 1602)]
    [InlineData(5, 8008)]
    [InlineData(-1, -1602)]
    public void NtscFrames_LieOnTheseSamples(long frames, long samples) =>
        Assert.Equal(samples, MediaTime.FromUnits(frames, Rate.Ntsc30).ToNearestUnit(Rate.Hz48000));

    [Theory]
    [InlineData(1, 1, 2)]
    [InlineData(-1, -2, -1)]
    [InlineData(2, 3, 4)]
    public void FloorAndCeiling_LieRoundAFraction(long frames, long floor, long ceiling)
    {
        MediaTime time = MediaTime.FromUnits(frames, new Rate(2)) + MediaTime.FromUnits(frames, Rate.Fps25);
        var rate = new Rate(3);

        Assert.Equal(floor, time.ToUnitFloor(rate));
        Assert.Equal(ceiling, time.ToUnitCeiling(rate));
    }

    [Fact]
    public void AHalf_GoesToEven()
    {
        var second = new Rate(1);

        Assert.Equal(0, MediaTime.FromUnits(1, new Rate(2)).ToNearestUnit(second));
        Assert.Equal(2, MediaTime.FromUnits(3, new Rate(2)).ToNearestUnit(second));
    }

    [Fact]
    public void AMeasuredTime_IsKeptToTheNanosecond() =>
        Assert.Equal(MediaTime.FromUnits(1_234_567_891, new Rate(1_000_000_000)), MediaTime.FromSeconds(1.2345678912));

    [Fact]
    public void TheDefault_IsZero() => Assert.Equal((0L, 1L), (default(MediaTime).Numerator, default(MediaTime).Denominator));

    [Fact]
    public void OfNotANumber_ThereIsNoTime() => Assert.Throws<OverflowException>(() => MediaTime.FromSeconds(double.NaN));
}
