using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Selection;
using SyncBench.Selection.Speakers;

namespace SyncBench.Timeline;

/// <summary>Markers of the dialogue track: every answer and question, numbered within its take as in the report.</summary>
internal static class TalkMarkers
{
    internal static ImmutableArray<TimelineMarker> Of(ImmutableArray<TakeSound> takes, FrameGrid grid) =>
    [
        .. takes.SelectMany(take =>
                take.Talk.Answers.Select((turn, i) => Marker(turn, i, take, grid))
                    .Concat(take.Talk.Questions.Select((turn, i) => Marker(turn, i, take, grid))))
            .OrderBy(marker => marker.RecordRange.Start),
    ];

    private static TimelineMarker Marker(Turn turn, int index, TakeSound take, FrameGrid grid) => new(
        grid.Snap(turn.CommonRange),
        string.Create(CultureInfo.InvariantCulture, $"{turn.Kind.InWords()} {index + 1}{(turn.MayBeRestart ? ", possible restart" : string.Empty)}"),
        take.Take.Name,
        turn.Kind == TurnKind.Answer ? MarkerKind.Answer : MarkerKind.Question);
}
