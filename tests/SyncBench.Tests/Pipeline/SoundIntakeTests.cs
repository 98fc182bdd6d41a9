using System.Collections.Immutable;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Pipeline;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

public sealed class SoundIntakeTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>One file has been read and one is being read when the run is stopped: the next run, in the same process, takes up both.</summary>
    [Fact]
    public async Task WhatAStoppedRunKept_IsFreeForTheNext()
    {
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "sine=duration=1:sample_rate=48000", _folder.File("short.wav"));
        await Tool.FfmpegAsync("-f", "lavfi", "-i", "sine=duration=600:sample_rate=48000", _folder.File("long.flac"));
        ProbeResult[] probed = [.. await Task.WhenAll(
            new[] { "short.wav", "long.flac" }.Select(file => MediaProbe.ProbeAsync(_folder.Listed(file), CancellationToken.None)))];
        ImmutableArray<Clip> clips = RoleRules.Assign([.. probed.Select(result => result.Media!)], DumpSettings.Usual);
        string kept = _folder.File("kept");
        using var stop = new CancellationTokenSource();
        var progress = new DirectProgress<StageProgress>(now =>
        {
            if (now.Item == "long.flac" && Directory.EnumerateFiles(kept, "*.sound").Any())
            {
                stop.Cancel();
            }
        });

        await Assert.ThrowsAnyAsync<OperationCanceledException>(
            () => new SoundIntake(_folder.Path, new KeptFolder(kept)).ReadAsync(clips, progress, stop.Token));
        using ReadSound read = await new SoundIntake(_folder.Path, new KeptFolder(kept)).ReadAsync(clips, null, CancellationToken.None);

        Assert.Equal([1, 600], [.. read.Clips.Select(clip => clip.Heard!.Sound.Duration.ToSeconds()).Order().Select(seconds => (int)Math.Round(seconds))]);
    }
}
