using System.Globalization;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>Says in words why a mic was taken. Times are hours, minutes and seconds of the common clock, as in the report.</summary>
internal sealed class SegmentReasons(TakeMics mics)
{
    /// <summary>Above this a mic is called clean.</summary>
    private const float CleanDb = 12;

    /// <summary>A fault this far outside a segment still explains it: the change was made in the pause before.</summary>
    private const int Near = 50;

    /// <summary>A fault that reaches less far into a segment than this does not characterise it.</summary>
    private const int Heard = 30;

    public string For(Stretch stretch)
    {
        string name = Name(stretch.Mic);
        if (stretch.ByHand)
        {
            return $"{name}: as corrected by hand";
        }

        int[] others = [.. Enumerable.Range(0, mics.Tracks.Length)
            .Where(mic => mic != stretch.Mic && Overlap(mic, stretch) > 0)];
        if (others.Length == 0)
        {
            return $"{name}: the only mic that rolls";
        }

        if (FaultOf(stretch.Mic, stretch, -Heard) is { } own)
        {
            return $"{name}: {LeastBad(stretch, own, others)}";
        }

        int rival = Rival(stretch, others);
        return FaultOf(rival, stretch, Near) is { } fault
            ? $"{name}: {Name(rival)} has {Words(fault)}"
            : $"{name}: {Compared(stretch, rival)}{Blemish(rival, stretch)}";
    }

    /// <summary>Hum or hiss of the mic that was passed over, where it goes on for most of the stretch.</summary>
    private string Blemish(int mic, Stretch stretch)
    {
        string[] kinds =
        [
            .. mics.Faults[mic].Spans.Where(span => !span.Kind.MakesUnfit()).GroupBy(span => span.Kind)
                .Where(kind => kind.Sum(span => Math.Max(0, Math.Min(span.End, stretch.End) - Math.Max(span.First, stretch.First))) * 2
                    >= stretch.End - stretch.First)
                .Select(kind => kind.Key.InWords()),
        ];
        return kinds.Length == 0 ? "" : $"; {Name(mic)} has {string.Join(" and ", kinds)}";
    }

    /// <summary>The mic that would have been taken otherwise: the best kind, then the cleanest.</summary>
    private int Rival(Stretch stretch, int[] others) => others
        .OrderByDescending(mic => Overlap(mic, stretch) * 2 >= stretch.End - stretch.First)
        .ThenByDescending(mic => MeanRatio(mic, stretch) - MicPreference.PriceDb(RoleOf(mic)))
        .First();

    private string LeastBad(Stretch stretch, (FaultKind Kind, int First, int End) own, int[] others)
    {
        string mine = Words(own);
        string theirs = string.Join(", ", others
            .Select(mic => (Mic: mic, Fault: FaultOf(mic, stretch, -Heard)))
            .Where(other => other.Fault is { } fault && fault.First < own.End && fault.End > own.First)
            .Select(other => $"{Name(other.Mic)} has {Words(other.Fault!.Value)}"));
        return theirs.Length > 0
            ? $"every mic has a fault, the least bad: its own {mine}, {theirs}"
            : $"despite {mine}, the other mics are worse";
    }

    private string Compared(Stretch stretch, int rival)
    {
        float own = MeanRatio(stretch.Mic, stretch), other = MeanRatio(rival, stretch);
        int difference = (int)MathF.Round(own - other);
        if (own - other > MicPreference.CloseMicDb)
        {
            return string.Create(CultureInfo.InvariantCulture, $"cleaner by {difference} dB");
        }

        if (RoleOf(stretch.Mic) == RoleOf(rival))
        {
            return difference > 0
                ? string.Create(CultureInfo.InvariantCulture, $"cleaner by {difference} dB")
                : $"as clean as {Name(rival)}, no reason to change";
        }

        if (RoleOf(stretch.Mic) < RoleOf(rival))
        {
            string preferred = RoleOf(stretch.Mic) == MicRole.Lavalier
                ? "the close mic is preferred"
                : "the camera's own mic is the last choice";
            return $"{(Math.Min(own, other) >= CleanDb ? "both clean" : "about as noisy")}, {preferred}";
        }

        return $"kept, no pause to change to {Name(rival)} in";
    }

    /// <summary>Of the faults that make the mic unfit, the one that covers most of the stretch.</summary>
    private (FaultKind Kind, int First, int End)? FaultOf(int mic, Stretch stretch, int margin)
    {
        (FaultKind Kind, int First, int End)? worst = null;
        int most = 0;
        foreach ((FaultKind Kind, int First, int End) span in mics.Faults[mic].Spans.Where(span => span.Kind.MakesUnfit()))
        {
            int shared = Math.Min(span.End, stretch.End + margin) - Math.Max(span.First, stretch.First - margin);
            if (shared > most)
            {
                (worst, most) = (span, shared);
            }
        }

        return worst;
    }

    private string Words((FaultKind Kind, int First, int End) fault)
    {
        string kind = fault.Kind.InWords();
        string from = Clock(fault.First), to = Clock(fault.End);
        return string.Equals(from, to, StringComparison.Ordinal) ? $"{kind} at {from}" : $"{kind} from {from} to {to}";
    }

    private string Clock(int step) => ClockText.Of(mics.Grid.At(step).ToNearestUnit(new Rate(1)));

    private float MeanRatio(int mic, Stretch stretch)
    {
        MicTrack track = mics.Tracks[mic];
        double sum = 0, weight = 1e-9;
        for (int step = Math.Max(track.First, stretch.First); step < Math.Min(track.End, stretch.End); step++)
        {
            sum += mics.Joint[step] * mics.Ratios[mic][step - track.First];
            weight += mics.Joint[step];
        }

        return (float)(sum / weight);
    }

    private int Overlap(int mic, Stretch stretch) =>
        Math.Min(mics.Tracks[mic].End, stretch.End) - Math.Max(mics.Tracks[mic].First, stretch.First);

    private MicRole RoleOf(int mic) => mics.Tracks[mic].Source.Mic.Role;

    /// <summary>The kind of mic, with its device and channel where it would not be told from another without.</summary>
    private string Name(int mic)
    {
        MicSource source = mics.Tracks[mic].Source;
        string role = RoleOf(mic) == MicRole.Scratch ? "camera mic" : RoleOf(mic).InWords();
        MicSource[] alike = [.. mics.Tracks.Select(track => track.Source).Where(other => other.Mic.Role == source.Mic.Role)];
        string device = alike.All(other => other.Clip.Device == source.Clip.Device) ? "" : $" of {source.Clip.Device.Name}";
        bool alone = alike.All(other =>
            other.Clip.Device != source.Clip.Device || other.Mic.Channel == source.Mic.Channel);
        return alone ? role + device : string.Create(
            CultureInfo.InvariantCulture, $"{role}{device} on channel {source.Mic.Channel + 1}");
    }
}
