using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Tests.Support;
using SyncBench.Time;

namespace SyncBench.Tests.Intake;

public sealed class DumpSettingsTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void AFullFile_IsUnderstood()
    {
        DumpSettings settings = Load("""
            {
              // camera A carries the shotgun on its right channel
              "devices": [
                { "match": "CAM_A/**", "name": "CAM_A", "angle": "wide", "mics": ["scratch", "shotgun"], "distance_m": 3.2 },
              ],
              "certainty": 0.99
            }
            """);

        DeviceRule rule = Assert.Single(settings.Devices);
        Assert.Equal(("CAM_A/**", "CAM_A", "wide", 3.2), (rule.Match, rule.Name, rule.Angle, rule.DistanceM));
        Assert.Equal([MicRole.Scratch, MicRole.Shotgun], rule.Mics.AsEnumerable());
        Assert.Equal(0.99, settings.Certainty);
    }

    [Fact]
    public void ACorrection_IsUnderstood()
    {
        DumpSettings settings = Load("""
            { "corrections": { "mics": [
              { "take": 1, "mic": "shotgun", "from": "12:03", "to": "0:12:40.5", "device": "CAM_A", "channel": 2 }
            ] } }
            """);

        MicCorrection correction = Assert.Single(settings.Corrections.Mics);
        Assert.Equal(
            new MicCorrection(1, MicRole.Shotgun, "12:03", "0:12:40.5", "CAM_A", 2), correction);
        Assert.Equal(
            TimeRange.Between(MediaTime.FromSeconds(723), MediaTime.FromSeconds(760.5)), correction.CommonRange);
    }

    [Theory]
    [InlineData("""{ "take": 1, "mic": "shotgun", "from": "12:03", "to": "12:70" }""", "\"12:70\" is no time")]
    [InlineData("""{ "take": 1, "mic": "shotgun", "from": "12:03", "to": "12:03" }""", "it ends before it begins")]
    [InlineData("""{ "take": 0, "mic": "shotgun", "from": "12:03", "to": "12:04" }""", "takes count from 1")]
    [InlineData("""{ "take": 1, "mic": "shotgun", "from": "12:03", "to": "12:04", "channel": 0 }""", "channels count from 1")]
    [InlineData("""{ "take": 1, "mic": "shotgun", "from": "12:03", "to": "12:09" }, { "take": 1, "mic": "boom", "from": "12:08", "to": "12:10" }""", "overlap")]
    [InlineData("""{ "take": 1, "mic": "kazoo", "from": "12:03", "to": "12:09" }""", "near line 1")]
    [InlineData("""{ "take": 1, "from": "12:03", "to": "12:09" }""", "mic")]
    public void ACorrectionThatCannotBe_IsSaidInOneLine(string corrections, string words)
    {
        SettingsException wrong = Assert.Throws<SettingsException>(
            () => Load("{ \"corrections\": { \"mics\": [ " + corrections + " ] } }"));

        Assert.Contains(words, wrong.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', wrong.Message);
    }

    [Fact]
    public void ATimeline_IsUnderstood() =>
        Assert.Equal(
            new TimelineSettings(23.976, TakeLayout.Nested, DriftCorrection.Warp, 0.1, true),
            Load("""{ "timeline": { "frame_rate": 23.976, "takes": "nested", "sound_drift": "warp", "drift_frames": 0.1, "poly_wav": true } }""").Timeline);

    [Fact]
    public void AnEmptyFileOfSettings_IsTheUsual()
    {
        DumpSettings settings = Load("{}");

        Assert.Empty(settings.Devices);
        Assert.Empty(settings.Corrections.Mics);
        Assert.Equal(DumpSettings.UsualCertainty, settings.Certainty);
        Assert.Equal(TimelineSettings.Usual, settings.Timeline);
    }

    [Theory]
    [InlineData("{ \"timeline\": { \"frame_rate\": 26 } }")]
    [InlineData("{ \"timeline\": { \"frame_rate\": -25 } }")]
    [InlineData("{ \"timeline\": { \"drift_frames\": 0 } }")]
    [InlineData("{ \"timeline\": { \"takes\": \"stacked\" } }")]
    [InlineData("{ \"devices\": [ { \"match\": \"*\", \"name\": \"A\", \"mics\": [\"lavaliere\"] } ] }")]
    [InlineData("{ \"device\": [] }")]
    [InlineData("{ \"devices\": [ ")]
    [InlineData("{ \"devices\": [ { \"name\": \"A\" } ] }")]
    [InlineData("{ \"certainty\": 7 }")]
    [InlineData("{ \"devices\": [ { \"match\": \"*\", \"name\": \"A\", \"distance_m\": -1 } ] }")]
    public void WhatIsNotUnderstood_IsSaidInOneLineWithTheFile(string text)
    {
        SettingsException wrong = Assert.Throws<SettingsException>(() => Load(text));

        Assert.StartsWith(_folder.File("settings.json"), wrong.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', wrong.Message);
    }

    [Theory]
    [InlineData("\"certainty\": 7", 4)]
    [InlineData("\"devices\": [ { \"match\": \"*\", \"name\": \"A\" },\n { \"match\": \"*\",\n \"name\": \"B\",\n \"distance_m\": -1 } ]", 7)]
    [InlineData("\"devices\": [\n null ]", 5)]
    [InlineData("\"devices\": [ { \"match\": \"*\", \"name\": \"A\",\n \"clock_is_local\": true } ]", 5)]
    [InlineData("\"time_zone\":\n \"Atlantis\"", 5)]
    [InlineData("\"timeline\": { \"frame_rate\": 26 }", 4)]
    [InlineData("\"corrections\": { \"left_out\": [\n null ] }", 4)]
    [InlineData("\"devices\": 4", 4)]
    [InlineData("\"device\": []", 4)]
    public void AMistake_IsNamedByItsLine(string setting, int line)
    {
        SettingsException wrong = Assert.Throws<SettingsException>(() => Load("// settings\n{\n /* of day 2 */\n" + setting + "\n}"));

        Assert.Contains(FormattableString.Invariant($"line {line}"), wrong.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void AFileThatIsNotThere_IsSaid() =>
        Assert.Throws<SettingsException>(() => DumpSettings.Load(_folder.File("none.json")));

    private DumpSettings Load(string text)
    {
        File.WriteAllText(_folder.File("settings.json"), text);
        return DumpSettings.Load(_folder.File("settings.json"));
    }
}
