using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Timeline.Dialogue;

/// <summary>What a dialogue file is made of, before any sound is read.</summary>
/// <param name="TimeReference">Samples from midnight to its first, by the timeline's timecode.</param>
/// <param name="CommonStart">Its first sample on the common clock: exactly the start of a timeline frame.</param>
/// <param name="Samples">Of 48 kHz: as many frames as the take has, to the nearest sample.</param>
/// <param name="Stretches">In order; two may overlap by a crossfade.</param>
internal sealed record DialoguePlan(
    Take Take, long TimeReference, MediaTime CommonStart, long Samples, ImmutableArray<DialogueStretch> Stretches)
{
    /// <summary>Crossfades are this long where both mics have the sound: 10 to 50 ms, common practice.</summary>
    private const int CrossfadeSamples = 1920;

    private const int ShortestCrossfade = 480;

    private static Rate Unit => Rate.Hz48000;

    internal static DialoguePlan Of(TakeSound sound, TimelineModel timeline)
    {
        var grid = new FrameGrid(timeline.FrameRate, timeline.Start);
        TimeRange record = grid.Snap(sound.Take.CommonRange);
        MediaTime start = grid.ToCommon(record.Start);
        long samples = record.Duration.ToNearestUnit(Unit);
        MediaTime label = MediaTime.FromUnits(timeline.FirstFrame, timeline.FrameRate) + record.Start;
        Piece[] pieces = [.. Pieces(sound, grid, record.Start, samples)];
        MakeOverlap(pieces);
        return new DialoguePlan(
            sound.Take, label.ToNearestUnit(Unit), start, samples,
            [.. pieces.Select((piece, i) => piece.ToStretch(sound, start, pieces.ElementAtOrDefault(i - 1), pieces.ElementAtOrDefault(i + 1)))]);
    }

    /// <summary>Segments in samples of the file, those of one mic that follow each other as one.</summary>
    private static List<Piece> Pieces(TakeSound sound, FrameGrid grid, MediaTime recordStart, long samples)
    {
        long frame = grid.FrameRate.Unit.ToUnitCeiling(Unit);
        var pieces = new List<Piece>();
        foreach ((Segment segment, ClockMap map, TimeRange heard) in sound.Segments.SelectMany(Straight))
        {
            TimeRange has = SoundPieces.OnTimeline(map, heard, grid);
            long first = Sample(grid.ToTimeline(segment.CommonRange.Start)), end = Sample(grid.ToTimeline(segment.CommonRange.End));

            // The file begins and ends on frames, the take does not: what a mic has of the rest is heard.
            first = Math.Abs(first) <= frame ? 0 : first;
            end = Math.Abs(end - samples) <= frame ? samples : end;
            var piece = new Piece(
                segment.Source, map,
                (has.Start - recordStart).ToUnitCeiling(Unit), (has.End - recordStart).ToUnitFloor(Unit), first, end);
            piece.Limit(samples);
            if (pieces.Count > 0 && pieces[^1].Source == piece.Source && pieces[^1].Map == piece.Map && pieces[^1].End >= piece.First)
            {
                pieces[^1].End = piece.End;
            }
            else if (piece.First < piece.End)
            {
                // Files that follow each other seldom part on a sample of ours: the one between belongs to the first.
                if (pieces.Count > 0 && pieces[^1].IsSameMicAs(piece) && pieces[^1].End == piece.First - 1)
                {
                    pieces[^1].End = piece.First;
                }

                pieces.Add(piece);
            }
        }

        return pieces;

        long Sample(MediaTime onTimeline) => (onTimeline - recordStart).ToNearestUnit(Unit);
    }

    /// <summary>A segment between the jumps of its clip's clock; for nearly every clip the whole of it.</summary>
    private static IEnumerable<(Segment Segment, ClockMap Map, TimeRange Heard)> Straight(Segment segment)
    {
        MicSource source = segment.Source;
        TimeRange sound = ClipRanges.Sound(source.Clip, source.Mic);
        return source.Placement.MapOf(source.Mic).Stretches(source.Clip.Duration)
            .Select(stretch => (segment, stretch.Map, sound.Intersect(stretch.OnClip)));
    }

    /// <summary>
    /// Around each change, as long as both mics have the sound; and no further than the middle of either stretch, so that
    /// two crossfades never meet.
    /// </summary>
    private static void MakeOverlap(Piece[] pieces)
    {
        long[] middles = [.. pieces.Select(piece => (piece.First + piece.End) / 2)];
        for (int i = 0; i + 1 < pieces.Length; i++)
        {
            Piece left = pieces[i], right = pieces[i + 1];
            long change = left.End;
            long from = Math.Max(right.HasFrom, middles[i]), to = Math.Min(left.HasTo, middles[i + 1]);
            if (change != right.First || to - from < ShortestCrossfade)
            {
                continue;
            }

            long length = Math.Min(CrossfadeSamples, to - from);
            right.First = Math.Clamp(change - (length / 2), from, to - length);
            left.End = right.First + length;
        }
    }

    private sealed class Piece(MicSource source, ClockMap map, long hasFrom, long hasTo, long first, long end)
    {
        internal MicSource Source => source;

        internal ClockMap Map => map;

        /// <summary>All that the mic has, beyond the take too.</summary>
        internal long HasFrom => hasFrom;

        internal long HasTo => hasTo;

        internal long First { get; set; } = first;

        internal long End { get; set; } = end;

        internal bool IsSameMicAs(Piece other) => Source.Clip.Device == other.Source.Clip.Device && Source.Mic == other.Source.Mic;

        internal void Limit(long samples)
        {
            First = Math.Max(Math.Max(First, 0), HasFrom);
            End = Math.Min(Math.Min(End, samples), HasTo);
        }

        internal DialogueStretch ToStretch(TakeSound sound, MediaTime start, Piece? before, Piece? after) => new(
            Source,
            Math.Pow(10, (sound.Loudness.Of(Source)?.MatchDb ?? 0) / 20),
            First,
            End,
            before is null ? Edge.Fade : Between(before, this),
            after is null ? Edge.Fade : Between(this, after),
            Map.ToClip(start + MediaTime.FromUnits(First, Unit)));

        private static Edge Between(Piece left, Piece right) =>
            left.End > right.First ? Edge.Crossfade
            : left.End == right.First && left.IsSameMicAs(right) ? Edge.Join
            : Edge.Fade;
    }
}
