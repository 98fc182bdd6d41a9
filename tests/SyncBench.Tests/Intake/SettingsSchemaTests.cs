using SyncBench.Intake;
using SyncBench.Scenes;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Intake;

/// <summary>docs/settings.schema.json, by which editors of text help (JSON Schema draft 2020-12; JsonSchema.Net judges by it).</summary>
public sealed class SettingsSchemaTests : IDisposable
{
    private static readonly DocumentedSettings Schema = new("docs/settings.schema.json");

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>By the serializer's own account of the records that settings are read into.</summary>
    [Fact]
    public void EverySettingOfTheCode_IsInTheSchema_AndNoOther()
    {
        Assert.Equal(DocumentedSettings.OfCode(typeof(DumpSettings)), Schema.Settings);
        Assert.Contains("/timeline/takes = flat, nested", Schema.Settings);
        Assert.Contains("/devices/match needed", Schema.Settings);
    }

    [Fact]
    public void TheCommentedExample_IsTakenByBoth()
    {
        string file = Repository.File("docs/settings.example.json");

        Assert.True(Schema.Allows(File.ReadAllText(file)));
        DumpSettings settings = DumpSettings.Load(file);
        Assert.Equal(3, settings.Devices.Length);
        Assert.Single(settings.Corrections.Placed);
        Assert.True(File.Exists(Path.Combine(Path.GetDirectoryName(file)!, settings.Schema!)));
    }

    [Fact]
    public void TheDemosSettings_AreTaken() => Assert.True(Schema.Allows(DemoDump.Settings));

    [Theory]
    [InlineData("""{ "timeline": { "frame_rate": 26 } }""")]
    [InlineData("""{ "timeline": { "drift_frames": 0 } }""")]
    [InlineData("""{ "timeline": { "takes": "stacked" } }""")]
    [InlineData("""{ "devices": [ { "match": "*", "name": "A", "mics": ["lavaliere"] } ] }""")]
    [InlineData("""{ "devices": [ { "match": "*", "name": "A", "distance_m": -1 } ] }""")]
    [InlineData("""{ "devices": [ { "match": "*", "name": "A", "picture_offset_ms": 1001 } ] }""")]
    [InlineData("""{ "devices": [ { "name": "A" } ] }""")]
    [InlineData("""{ "device": [] }""")]
    [InlineData("""{ "certainty": 1 }""")]
    [InlineData("""{ "corrections": { "mics": [ { "take": 1, "mic": "boom", "from": "12:03", "to": "12:70" } ] } }""")]
    [InlineData("""{ "corrections": { "mics": [ { "take": 0, "mic": "boom", "from": "12:03", "to": "12:04" } ] } }""")]
    [InlineData("""{ "corrections": { "placed": [ { "file": "A", "against": "B" } ] } }""")]
    public void WhatIsWrong_IsRefusedByBoth(string settings)
    {
        File.WriteAllText(_folder.File("settings.json"), settings);

        Assert.False(Schema.Allows(settings));
        Assert.Throws<SettingsException>(() => DumpSettings.Load(_folder.File("settings.json")));
    }
}
