using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Time;

namespace SyncBench.Tests.Pipeline;

/// <summary>What tempts to a wrong place, on a dump of real files; the truth is known by construction.</summary>
public class HardDayTests(HardDay day) : IClassFixture<HardDay>
{
    public static TheoryData<string> ShortClips => [.. Files("CAM_A/A", HardDay.ShortClips)];

    public static TheoryData<string> Readings => [.. Files("CAM_B/B", HardDay.Readings)];

    [Theory]
    [MemberData(nameof(ShortClips))]
    public void EachShortClip_LiesInTheRecorderThatRanFortyMinutes(string file) => AssertPlace("RECORDER/R001.WAV", file);

    [Fact]
    public void ShortClips_HaveTheRateOfTheirDevice_PooledOverAll() =>
        Assert.All(Files("CAM_A/A", HardDay.ShortClips), file => Assert.Equal(30, File(file).Placement!.Map.Ppm, 1.0));

    [Theory]
    [MemberData(nameof(Readings))]
    public void OfASentenceReadThreeTimes_TheRightOneIsFound(string file) => AssertPlace("RECORDER/R002.WAV", file);

    [Theory]
    [InlineData("RECORDER/R003.WAV", "CAM_C/C001.MP4")] // a music loop
    [InlineData("RECORDER/R004.WAV", "CAM_D/D001.MP4")] // a machine's hum
    public void WhatRunsThroughEverything_MovesNothing(string recorder, string file) => AssertPlace(recorder, file);

    [Theory]
    [InlineData("CAM_C/C002.MP4")] // the music loop alone
    [InlineData("CAM_D/D002.MP4")] // the hum alone
    [InlineData("CAM_E/E001.MP4")] // a clap
    [InlineData("CAM_E/E002.MP4")] // a beep
    public void WhatFitsInManyPlaces_IsNotPlacedUnheard(string file) => Assert.NotEqual(Outcome.Placed, File(file).Outcome);

    private static IEnumerable<string> Files(string start, int count) =>
        Enumerable.Range(1, count).Select(i => string.Create(CultureInfo.InvariantCulture, $"{start}{i:000}.MP4"));

    private void AssertPlace(string recorder, string file)
    {
        FileOutcome outcome = File(file);
        Assert.Equal(Outcome.Placed, outcome.Outcome);
        MediaTime inRecorder = File(recorder).Placement!.Map.ToClip(outcome.Placement!.Map.ToCommon(MediaTime.Zero));
        Assert.Equal(day.StartOf(file), inRecorder.ToSeconds(), 0.0002);
    }

    private FileOutcome File(string path) => day.Result.Files.Single(file => file.File.Path == path);
}
