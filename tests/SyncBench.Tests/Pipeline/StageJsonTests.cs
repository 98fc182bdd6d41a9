using System.Text.Json;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Pipeline;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Pipeline;

public sealed class StageJsonTests
{
    /// <summary>Times that are no decimal number, silence of minus infinity, levels that are not known: all as they were, and placements the very same.</summary>
    [Fact]
    public void WhatIsKept_ComesBackExactly()
    {
        DumpResult result = ReportExamples.Interview();
        JsonSerializerOptions takes = StageJson.Format(
            StageJson.Named(result.Takes.Select(take => take.Take)), StageJson.Named(result.Files.Select(file => file.Placement).OfType<Placement>()));
        JsonSerializerOptions placements = StageJson.Format(
            StageJson.Named(result.Files.Select(file => file.File)), StageJson.Named(result.Files.Select(file => file.Clip).OfType<Clip>()));

        foreach (TakeSound take in result.Takes)
        {
            TakeSound back = BackAgain(take, takes);
            Assert.Same(take.Take, back.Take);
            Assert.Equal(take.Segments.AsEnumerable(), back.Segments);
            Assert.Equal(take.Faults.AsEnumerable(), back.Faults);
            Assert.Equal(take.Talk.Turns.AsEnumerable(), back.Talk.Turns);
            Assert.Equal(take.Loudness.Mics.AsEnumerable(), back.Loudness.Mics);
            Assert.Equal(take.Curves.SelectMany(curve => curve.LevelDb), back.Curves.SelectMany(curve => curve.LevelDb));
        }

        foreach (Placement placement in result.Files.Select(file => file.Placement).OfType<Placement>())
        {
            Placement back = BackAgain(placement, placements);
            Assert.Same(placement.Clip, back.Clip);
            Assert.Equal((placement.Map.Offset, placement.Map.Ppm, placement.Certainty), (back.Map.Offset, back.Map.Ppm, back.Certainty));
            Assert.Equal(placement.Votes.AsEnumerable(), back.Votes);
        }
    }

    private static T BackAgain<T>(T kept, JsonSerializerOptions format)
    {
        string text = JsonSerializer.Serialize(kept, format);
        T back = JsonSerializer.Deserialize<T>(text, format)!;
        Assert.Equal(text, JsonSerializer.Serialize(back, format));
        return back;
    }
}
