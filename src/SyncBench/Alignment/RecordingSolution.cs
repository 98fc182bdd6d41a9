namespace SyncBench.Alignment;

/// <summary>
/// Solves for clips, finds which of them are one recording, and solves again with one offset for each recording: so a
/// short or silent part is placed by its neighbours, and no gap remains between parts.
/// </summary>
internal static class RecordingSolution
{
    internal static (Solution Solution, Recordings Recordings) Solve(
        IReadOnlyList<PairMatch> matches, IReadOnlyList<HeardClip> clips, IReadOnlyList<ClipTracks?> tracks,
        int[] deviceOfClip, int devices, int referenceDevice)
    {
        double[] seconds = [.. clips.Select(clip => clip.Clip.Duration.ToSeconds())];
        Solution single = new JointSolution(deviceOfClip, devices, referenceDevice, seconds).Solve(matches);
        Recordings recordings = Recordings.Join(clips, tracks, deviceOfClip, single);
        if (recordings.Previous.All(previous => previous < 0))
        {
            return (single, recordings);
        }

        int[] firsts = [.. Enumerable.Range(0, clips.Count).Where(clip => recordings.Previous[clip] < 0)];
        int[] recordingOf = [.. Enumerable.Range(0, clips.Count).Select(clip => Array.IndexOf(firsts, recordings.FirstOf(clip)))];
        double[] lengths = [.. firsts.Select((_, recording) => Enumerable.Range(0, clips.Count)
            .Where(clip => recordingOf[clip] == recording)
            .Max(clip => recordings.StartSeconds[clip] + seconds[clip]))];
        var original = matches.ToDictionary(match => Moved(match, recordingOf, recordings.StartSeconds));
        Solution whole = new JointSolution([.. firsts.Select(clip => deviceOfClip[clip])], devices, referenceDevice, lengths)
            .Solve(original.Keys);
        return (
            new Solution(
                [.. recordingOf.Select((recording, clip) => whole.OffsetSeconds[recording]
                    + (recordings.StartSeconds[clip] * (1 + (whole.Ppm[deviceOfClip[clip]] * 1e-6))))],
                [.. recordingOf.Select(recording => whole.OffsetErrorSeconds[recording])],
                whole.Ppm, whole.PpmError,
                [.. recordingOf.Select(recording => whole.Group[recording])],
                [.. whole.Matches.Select(match => original[match])]),
            recordings);
    }

    /// <summary>The same match, told of recordings on their own clocks.</summary>
    private static PairMatch Moved(PairMatch match, int[] recordingOf, double[] startSeconds)
    {
        double query = startSeconds[match.Query], lag = startSeconds[match.Reference] - query;
        LagLine line = match.Lags.Line;
        return match with
        {
            Query = recordingOf[match.Query],
            Reference = recordingOf[match.Reference],
            Lags = match.Lags with
            {
                Line = line with { MiddleSeconds = line.MiddleSeconds + query, LagSeconds = line.LagSeconds + lag },
                Lags = [.. match.Lags.Lags.Select(one => new Lag(one.QuerySeconds + query, one.LagSeconds + lag))],
            },
        };
    }
}
