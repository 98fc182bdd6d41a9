using SyncBench.Intake;
using SyncBench.Time;

namespace SyncBench.Selection;

/// <summary>The mics that a person chose, step by step of the grid.</summary>
internal sealed class MicsByHand
{
    /// <summary>dB·s a step: more than all faults of a step together, so that no path goes against the person.</summary>
    private const float Forbidden = 1000;

    private readonly int[] _mics; // −1 where the choice is free

    private MicsByHand(int[] mics)
    {
        _mics = mics;
        Steps = Array.ConvertAll(mics, mic => mic >= 0);
    }

    /// <summary>Whether a person chose, one entry a step.</summary>
    public bool[] Steps { get; }

    /// <exception cref="SettingsException">A correction names a mic or a stretch that the take does not have.</exception>
    public static MicsByHand Of(IReadOnlyList<MicCorrection> corrections, TakeMics mics)
    {
        var chosen = new int[mics.Grid.Steps];
        Array.Fill(chosen, -1);
        foreach (MicCorrection correction in corrections)
        {
            bool named = false, rolls = false;
            for (int mic = 0; mic < mics.Tracks.Length; mic++)
            {
                MicTrack track = mics.Tracks[mic];
                if (!correction.Names(track.Source.Clip, track.Source.Mic))
                {
                    continue;
                }

                named = true;
                int first = Math.Max(track.First, StepOf(correction.CommonRange.Start, mics.Grid));
                int end = Math.Min(track.End, StepOf(correction.CommonRange.End, mics.Grid));
                for (int step = first; step < end; step++)
                {
                    rolls = true;
                    chosen[step] = chosen[step] < 0 ? mic : chosen[step];
                }
            }

            if (!rolls)
            {
                string wrong = named ? "that mic does not roll then" : "the take has no such mic";
                throw new SettingsException($"{correction}: {wrong}. Correct the settings, then run again.");
            }
        }

        return new MicsByHand(chosen);
    }

    /// <summary>Makes every other path dear, and a change to and from the person's choice free just at its edges.</summary>
    public void Impose(MicCosts[] costs, float[] switchPrice)
    {
        for (int step = 0; step < _mics.Length; step++)
        {
            bool edge = _mics[step] != (step == 0 ? -1 : _mics[step - 1]);
            switchPrice[step] = edge ? 0 : switchPrice[step];
            for (int mic = 0; mic < costs.Length; mic++)
            {
                int at = step - costs[mic].First;
                if (at < 0 || at >= costs[mic].Cost.Length)
                {
                    continue;
                }

                costs[mic].Cost[at] += _mics[step] >= 0 && _mics[step] != mic ? Forbidden : 0;
                costs[mic].MayLeave[at] |= edge;
            }
        }
    }

    private static int StepOf(MediaTime common, TakeGrid grid)
    {
        long step = (common - grid.Start).ToNearestUnit(Alignment.BandLevels.StepRate);
        return (int)Math.Clamp(step, 0, grid.Steps);
    }
}
