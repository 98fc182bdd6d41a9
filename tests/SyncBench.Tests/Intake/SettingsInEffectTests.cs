using SyncBench.Intake;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Intake;

/// <summary>What a command prints of a settings file.</summary>
public sealed class SettingsInEffectTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void WhatIsPrintedAsInEffect_ReadsBackTheSame()
    {
        string file = _folder.File("settings.json");
        File.WriteAllText(file, """{ "devices": [ { "match": "A/**", "name": "CAM_A", "mics": ["shotgun"] }, { "match": "B/**", "name": "CAM_B" } ], "timeline": { "frame_rate": 25 } }""");
        string printed = DumpSettings.Load(file).InEffect();
        File.WriteAllText(file, printed);

        Assert.Equal(printed, DumpSettings.Load(file).InEffect());
        Assert.Contains("\"certainty\": 0.999", printed, StringComparison.Ordinal);
        Assert.Contains("\"sound_drift\": \"cut\"", printed, StringComparison.Ordinal);
        Assert.Contains("\"shotgun\"", printed, StringComparison.Ordinal);
    }
}
