namespace SyncBench.Selection;

/// <summary>The <see cref="MicMatch"/> of every pair of mics that roll together.</summary>
internal sealed class MicMatches
{
    private readonly MicTrack[] _tracks;
    private readonly Dictionary<(int First, int Second), MicMatch> _pairs = [];

    private MicMatches(MicTrack[] tracks) => _tracks = tracks;

    public static MicMatches Of(MicTrack[] tracks, float[][] presence)
    {
        var matches = new MicMatches(tracks);
        for (int first = 0; first < tracks.Length; first++)
        {
            for (int second = first + 1; second < tracks.Length; second++)
            {
                if (MicMatch.Between(tracks[first], presence[first], tracks[second], presence[second]) is { } match)
                {
                    matches._pairs[(first, second)] = match;
                    matches._pairs[(second, first)] = match.Reversed();
                }
            }
        }

        return matches;
    }

    public MicMatch? Between(int mic, int other) => _pairs.GetValueOrDefault((mic, other));

    /// <summary>The mics that can be compared with this one.</summary>
    public int[] OthersOf(int mic) =>
        [.. Enumerable.Range(0, _tracks.Length).Where(other => _pairs.ContainsKey((mic, other)))];
}
