using SyncBench.Alignment;

namespace SyncBench.Selection;

/// <summary>How loud a mic hears the speech and the noise around each step, band by band.</summary>
/// <remarks>
/// Speech: the mean power while somebody speaks. Noise: the noise floor, or the mean power in the pauses if that is
/// higher, for noise that comes and goes faster than the floor follows (cars, cloth) shows there. Both within 1.7 s to
/// either side, so that the choice of mic follows the noise and not the syllables.
/// </remarks>
internal sealed class MicLevels
{
    private const int BlockSteps = 20;

    /// <summary>Blocks to either side that a block looks at.</summary>
    private const int Reach = 8;

    /// <summary>Fewer steps than this say nothing.</summary>
    private const int FewestSteps = 20;

    private const float Speaking = 0.6f;
    private const float Silent = 0.15f;

    private readonly int _first;
    private readonly byte[] _speech;
    private readonly byte[] _noise;

    private MicLevels(int first, byte[] speech, byte[] noise) => (_first, _speech, _noise) = (first, speech, noise);

    /// <summary>Coded levels of the 20 bands, speech and noise together; 0 where nobody speaks near the step.</summary>
    public ReadOnlySpan<byte> Speech(int step) => At(_speech, step);

    public ReadOnlySpan<byte> Noise(int step) => At(_noise, step);

    /// <param name="joint">Probability of speech, one a step of the grid.</param>
    /// <param name="faulty">Steps of the mic that are left out: a fault has a price of its own.</param>
    public static MicLevels Of(MicTrack track, float[] joint, bool[] faulty)
    {
        int blocks = (track.Count + BlockSteps - 1) / BlockSteps;
        var speech = new RunningMean(blocks);
        var pauses = new RunningMean(blocks);
        for (int step = track.First; step < track.End; step++)
        {
            int block = (step - track.First) / BlockSteps;
            if (faulty[step - track.First])
            {
                continue;
            }

            if (joint[step] > Speaking)
            {
                speech.Add(block, track.Levels(step));
            }
            else if (IsPause(joint, step))
            {
                pauses.Add(block, track.Levels(step));
            }
        }

        byte[] noise = pauses.Around(Reach, FewestSteps);
        for (int block = 0; block < blocks; block++)
        {
            int middle = track.First + Math.Min(track.Count - 1, (block * BlockSteps) + (BlockSteps / 2));
            ReadOnlySpan<byte> floor = track.SteadyNoise(middle);
            for (int band = 0; band < BandLevels.Bands; band++)
            {
                ref byte level = ref noise[(block * BandLevels.Bands) + band];
                level = Math.Max(level, floor[band]);
            }
        }

        return new MicLevels(track.First, speech.Around(Reach, FewestSteps), noise);
    }

    private ReadOnlySpan<byte> At(byte[] levels, int step) =>
        levels.AsSpan((step - _first) / BlockSteps * BandLevels.Bands, BandLevels.Bands);

    /// <summary>
    /// Not within 60 ms before speech or 200 ms after it, whose edges and echo are no noise: in a living room (0.5 s)
    /// the echo has then fallen by 24 dB.
    /// </summary>
    private static bool IsPause(float[] joint, int step)
    {
        for (int near = Math.Max(0, step - 20); near <= Math.Min(joint.Length - 1, step + 6); near += 2)
        {
            if (joint[near] >= Silent)
            {
                return false;
            }
        }

        return joint[step] < Silent;
    }

    /// <summary>Sums by block, from which a mean over any run of blocks is a difference.</summary>
    private sealed class RunningMean(int blocks)
    {
        private readonly double[] _sums = new double[(blocks + 1) * BandLevels.Bands];
        private readonly int[] _counts = new int[blocks + 1];

        public void Add(int block, ReadOnlySpan<byte> levels)
        {
            Span<double> sums = _sums.AsSpan((block + 1) * BandLevels.Bands, BandLevels.Bands);
            for (int band = 0; band < levels.Length; band++)
            {
                sums[band] += SpeechBands.Power(levels[band]);
            }

            _counts[block + 1]++;
        }

        /// <summary>Coded mean levels, block by block; call once.</summary>
        public byte[] Around(int reach, int fewest)
        {
            for (int i = BandLevels.Bands; i < _sums.Length; i++)
            {
                _sums[i] += _sums[i - BandLevels.Bands];
            }

            for (int block = 1; block <= blocks; block++)
            {
                _counts[block] += _counts[block - 1];
            }

            var levels = new byte[blocks * BandLevels.Bands];
            for (int block = 0; block < blocks; block++)
            {
                int from = Math.Max(0, block - reach), to = Math.Min(blocks, block + reach + 1);
                int count = _counts[to] - _counts[from];
                for (int band = 0; band < BandLevels.Bands && count >= fewest; band++)
                {
                    double power = (_sums[(to * BandLevels.Bands) + band] - _sums[(from * BandLevels.Bands) + band]) / count;
                    levels[(block * BandLevels.Bands) + band] = BandLevels.FromDb((float)(10 * Math.Log10(Math.Max(power, 1e-12))));
                }
            }

            return levels;
        }
    }
}
