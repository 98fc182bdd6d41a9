using SyncBench.Media;

namespace SyncBench.Selection.Speakers;

/// <summary>One mic through all clips of a take: a camera that stops and starts again has one line for each of its mics.</summary>
internal sealed class MicLine
{
    private readonly TakeMics _mics;
    private readonly int[] _tracks;

    private MicLine(TakeMics mics, int[] tracks) => (_mics, _tracks) = (mics, tracks);

    public MicRole Role => _mics.Tracks[_tracks[0]].Source.Mic.Role;

    /// <summary>In the order of the take's mics.</summary>
    public static MicLine[] Of(TakeMics mics) =>
    [
        .. Enumerable.Range(0, mics.Tracks.Length)
            .GroupBy(track => mics.Tracks[track].Source.Line)
            .Select(line => new MicLine(mics, [.. line])),
    ];

    /// <summary>The track that rolls at a step of the grid without a fault; null where there is none.</summary>
    public MicTrack? FitAt(int step)
    {
        foreach (int track in _tracks)
        {
            MicTrack rolls = _mics.Tracks[track];
            if (rolls.Rolls(step) && !_mics.Faults[track].Faulty[step - rolls.First])
            {
                return rolls;
            }
        }

        return null;
    }
}
