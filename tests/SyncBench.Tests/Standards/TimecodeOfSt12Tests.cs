using SyncBench.Time;

namespace SyncBench.Tests.Standards;

/// <summary>
/// SMPTE ST 12-1, time and control code. The text of the standard was not open to us: the labels and counts below were
/// computed with the OpenTimelineIO 0.18.1 library (Apache-2.0, a reference library of the field), except the rows at
/// minute one of 59.94, which follow from the rule.
/// </summary>
public class TimecodeOfSt12Tests
{
    private static readonly TimecodeFormat Drop30 = new(30, true);
    private static readonly TimecodeFormat Drop60 = new(60, true);

    [Theory]
    [InlineData("00:00:59;29", 1_799)]
    [InlineData("00:01:00;02", 1_800)]
    [InlineData("00:10:00;00", 17_982)]
    [InlineData("01:00:00;00", 107_892)]
    [InlineData("23:59:59;29", 2_589_407)]
    public void DropFrameAt2997_CountsTheseFrames(string label, long frames)
    {
        Assert.True(Drop30.TryParse(label, out long parsed, out _));
        Assert.Equal(frames, parsed);
        Assert.Equal(label, Drop30.Format(frames));
    }

    [Theory]
    [InlineData("00:00:59;59", 3_599)]
    [InlineData("00:01:00;04", 3_600)]
    [InlineData("00:10:00;00", 35_964)]
    [InlineData("01:00:00;00", 215_784)]
    [InlineData("23:59:59;59", 5_178_815)]
    public void DropFrameAt5994_CountsTheseFrames(string label, long frames)
    {
        Assert.True(Drop60.TryParse(label, out long parsed, out _));
        Assert.Equal(frames, parsed);
        Assert.Equal(label, Drop60.Format(frames));
    }

    [Theory]
    [InlineData(24_000, 1_001, 86_400)]
    [InlineData(24, 1, 86_400)]
    [InlineData(25, 1, 90_000)]
    [InlineData(30_000, 1_001, 108_000)]
    [InlineData(30, 1, 108_000)]
    [InlineData(50, 1, 180_000)]
    [InlineData(60_000, 1_001, 216_000)]
    [InlineData(60, 1, 216_000)]
    public void WithoutDropFrame_AnHourCountsTheseFrames(int numerator, int denominator, long frames)
    {
        TimecodeFormat format = TimecodeFormat.Of(new Rate(numerator, denominator), dropFrame: false);

        Assert.True(format.TryParse("01:00:00:00", out long parsed, out _));
        Assert.Equal(frames, parsed);
    }

    [Theory]
    [InlineData(30, "00:01:00;00")]
    [InlineData(30, "00:01:00;01")]
    [InlineData(30, "00:11:00;01")]
    [InlineData(60, "00:01:00;03")]
    public void LabelsThatDropFrameLeavesOut_AreRefused(int frames, string label) =>
        Assert.False(new TimecodeFormat(frames, true).TryParse(label, out _, out _));

    [Theory]
    [InlineData("00:10:00;00")]
    [InlineData("00:20:00;01")]
    public void InEveryTenthMinute_NothingIsLeftOut(string label) => Assert.True(Drop30.TryParse(label, out _, out _));

    [Theory]
    [InlineData(24)]
    [InlineData(25)]
    [InlineData(30)]
    [InlineData(50)]
    [InlineData(60)]
    public void AFrameNumberBeyondTheSecond_IsRefused(int frames) =>
        Assert.False(new TimecodeFormat(frames, false).TryParse($"00:00:00:{frames}", out _, out _));

    [Theory]
    [InlineData(24, false)]
    [InlineData(25, false)]
    [InlineData(30, false)]
    [InlineData(30, true)]
    [InlineData(50, false)]
    [InlineData(60, false)]
    [InlineData(60, true)]
    public void AWholeDay_GoesThereAndBack(int frames, bool drop)
    {
        var format = new TimecodeFormat(frames, drop);
        for (long frame = 0; frame < format.FramesPerDay; frame++)
        {
            string label = format.Format(frame);
            Assert.True(format.TryParse(label, out long back, out _) && back == frame, label);
        }

        Assert.Equal(format.Format(0), format.Format(format.FramesPerDay));
    }

    /// <summary>
    /// EBU Tech 3285 time reference against labels: 172,800,000 samples at 48 kHz are one hour of real time, which at
    /// 29.97 drop-frame is frame 107,892.1.
    /// </summary>
    [Theory]
    [InlineData(25, 1, false, "01:00:00:00")]
    [InlineData(24_000, 1_001, false, "00:59:56:09")]
    [InlineData(30_000, 1_001, false, "00:59:56:12")]
    [InlineData(30_000, 1_001, true, "01:00:00;00")]
    public void AnHourOfRealTime_IsThisLabel(int numerator, int denominator, bool drop, string label)
    {
        MediaTime hour = MediaTime.FromUnits(172_800_000, Rate.Hz48000);
        var rate = new Rate(numerator, denominator);

        Assert.Equal(label, TimecodeFormat.Of(rate, drop).Format(hour.ToUnitFloor(rate)));
    }

    /// <summary>
    /// Arithmetic on the counts above: an hour of labels at 29.97 lasts 3603.6 s, in drop-frame 3.6 ms less than an hour.
    /// </summary>
    [Theory]
    [InlineData(false, 36_036_000)]
    [InlineData(true, 35_999_964)]
    public void AnHourOfLabels_LastsThisLong(bool drop, long tenthsOfMilliseconds)
    {
        Assert.True(TimecodeFormat.Of(Rate.Ntsc30, drop).TryParse("01:00:00:00", out long frames, out _));

        Assert.Equal(
            MediaTime.FromUnits(tenthsOfMilliseconds, new Rate(10_000)), MediaTime.FromUnits(frames, Rate.Ntsc30));
    }

    /// <summary>Whatever the count is, a minute or ten of it roll over here.</summary>
    [Theory]
    [InlineData(24, false, "00:00:59:23", "00:01:00:00")]
    [InlineData(25, false, "00:59:59:24", "01:00:00:00")]
    [InlineData(30, false, "00:00:59:29", "00:01:00:00")]
    [InlineData(30, true, "00:00:59;29", "00:01:00;02")]
    [InlineData(30, true, "00:09:59;29", "00:10:00;00")]
    [InlineData(50, false, "09:59:59:49", "10:00:00:00")]
    [InlineData(60, true, "00:01:59;59", "00:02:00;04")]
    [InlineData(60, true, "23:59:59;59", "00:00:00;00")]
    public void TheNextLabel_RollsOver(int frames, bool drop, string label, string next)
    {
        var format = new TimecodeFormat(frames, drop);
        Assert.True(format.TryParse(label, out long frame, out _));

        Assert.Equal(next, format.Format(frame + 1));
    }

    /// <summary>Samples at 48 kHz in five frames: 1601.6 a frame at 29.97 and 800.8 at 59.94 are whole only so.</summary>
    [Theory]
    [InlineData(24_000, 1_001, 5 * 2002)]
    [InlineData(24, 1, 5 * 2000)]
    [InlineData(25, 1, 5 * 1920)]
    [InlineData(30_000, 1_001, 8008)]
    [InlineData(30, 1, 5 * 1600)]
    [InlineData(50, 1, 5 * 960)]
    [InlineData(60_000, 1_001, 4004)]
    [InlineData(60, 1, 5 * 800)]
    public void FiveFrames_AreThisManySamples(int numerator, int denominator, long samples) =>
        Assert.Equal(
            MediaTime.FromUnits(samples, Rate.Hz48000), MediaTime.FromUnits(5, new Rate(numerator, denominator)));
}
