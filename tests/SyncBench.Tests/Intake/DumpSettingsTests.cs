using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Tests.Support;

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
    public void AnEmptyFileOfSettings_IsTheUsual()
    {
        DumpSettings settings = Load("{}");

        Assert.Empty(settings.Devices);
        Assert.Equal(DumpSettings.UsualCertainty, settings.Certainty);
    }

    [Theory]
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

    [Fact]
    public void AFileThatIsNotThere_IsSaid() =>
        Assert.Throws<SettingsException>(() => DumpSettings.Load(_folder.File("none.json")));

    private DumpSettings Load(string text)
    {
        File.WriteAllText(_folder.File("settings.json"), text);
        return DumpSettings.Load(_folder.File("settings.json"));
    }
}
