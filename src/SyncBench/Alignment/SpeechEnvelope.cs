namespace SyncBench.Alignment;

/// <summary>
/// How one channel's level moves in six bands from 150 to 4500 Hz, 100 times a second: each band's level in decibels,
/// less its mean over a second, in units of its own spread and cut at ±2.5 of them.
/// </summary>
/// <remarks>
/// Six bands, because steady noise in some of them then leaves the others free: with pink noise at −10 dB the level
/// of the whole band finds nothing any more, the sum of six finds nearly everything (docs/alignment.md).
/// </remarks>
internal sealed class SpeechEnvelope
{
    private const float Limit = 2.5f;
    private const int HalfSecond = 50;
    private const int LevelSteps = 200;

    /// <summary>Level steps of half a decibel; a band that moves less than this carries no speech.</summary>
    private const double StillBand = 1.0;

    /// <summary>First band and number of bands of <see cref="BandLevels"/> that each of the six joins.</summary>
    private static readonly (int First, int Count)[] Joined = [(3, 3), (6, 2), (8, 2), (10, 3), (13, 2), (15, 3)];

    private readonly BandLevels _levels;

    private SpeechEnvelope(BandLevels levels, double liveliness)
    {
        (_levels, Liveliness) = (levels, liveliness);
        LoudLevelDb = LoudLevel();
    }

    /// <summary>Loudness that two seconds in twenty reach or pass: how loud the talker of this channel speaks.</summary>
    internal double LoudLevelDb { get; }

    internal int Steps => _levels.Steps;

    /// <summary>Mean spread of the six bands in decibels: which of a clip's channels speaks clearest.</summary>
    internal double Liveliness { get; }

    internal bool IsStill => Liveliness == 0;

    internal static SpeechEnvelope Of(BandLevels levels)
    {
        float[] level = new float[levels.Steps], moving = new float[levels.Steps];
        return new SpeechEnvelope(levels, Joined.Average(join => Spread(Level(levels, join, level), moving)) / 2);
    }

    /// <summary>
    /// The bands one after the other, each all zeros where nothing moves. Made anew each time: 1.4 MB an hour and band, of which
    /// matching needs few at once.
    /// </summary>
    internal IEnumerable<float[]> Bands()
    {
        float[] level = new float[Steps];
        foreach ((int First, int Count) join in Joined)
        {
            float[] moving = new float[Steps];
            double spread = Spread(Level(_levels, join, level), moving);
            for (int step = 0; step < moving.Length; step++)
            {
                moving[step] = spread == 0 ? 0 : Math.Clamp((float)(moving[step] / spread), -Limit, Limit);
            }

            yield return moving;
        }
    }

    /// <summary>Mean speech-band level in decibels over a stretch of steps, as far as it lies inside the clip.</summary>
    internal double MeanLevelDb(int firstStep, int steps) => Mean(firstStep, steps, level => level) ?? BandLevels.ToDb(0);

    /// <summary>
    /// Level of the mean power over a stretch of steps: what is spoken counts and the pauses between hardly do.
    /// </summary>
    internal double LoudnessDb(int firstStep, int steps) => Mean(firstStep, steps, level => Math.Pow(10, level / 10)) is { } power
        ? 10 * Math.Log10(Math.Max(1e-13, power))
        : BandLevels.ToDb(0);

    private double LoudLevel()
    {
        double[] levels =
        [
            .. Enumerable.Range(0, Math.Max(1, Steps / LevelSteps)).Select(i => LoudnessDb(i * LevelSteps, LevelSteps)),
        ];
        Array.Sort(levels);
        return levels[(int)(0.9 * (levels.Length - 1))];
    }

    /// <summary>Of a step's level in decibels; null where the stretch lies outside the clip.</summary>
    private double? Mean(int firstStep, int steps, Func<double, double> of)
    {
        int from = Math.Clamp(firstStep, 0, Steps), to = Math.Clamp(firstStep + steps, 0, Steps);
        double sum = 0;
        for (int step = from; step < to; step++)
        {
            ReadOnlySpan<byte> bands = _levels.Step(step);
            double level = 0;
            foreach ((int First, int Count) join in Joined)
            {
                level += (Level(bands, join) / 2) - 120;
            }

            sum += of(level / Joined.Length);
        }

        return to > from ? sum / (to - from) : null;
    }

    /// <summary>In half decibels from −120 dB on: see <see cref="BandLevels"/>.</summary>
    private static float[] Level(BandLevels levels, (int First, int Count) join, float[] level)
    {
        for (int step = 0; step < level.Length; step++)
        {
            level[step] = Level(levels.Step(step), join);
        }

        return level;
    }

    /// <summary>Mean of the joined bands' decibels, which weighs each alike, as whitening does later.</summary>
    private static float Level(ReadOnlySpan<byte> bands, (int First, int Count) join)
    {
        int sum = 0;
        foreach (byte value in bands.Slice(join.First, join.Count))
        {
            sum += value;
        }

        return (float)sum / join.Count;
    }

    /// <param name="moving">Takes the level less its mean over a second.</param>
    /// <returns>The band's spread in half decibels, 0 where it is still.</returns>
    private static double Spread(float[] level, float[] moving)
    {
        double sum = 0;
        int from = 0, to = 0;
        double power = 0;
        for (int step = 0; step < level.Length; step++)
        {
            for (; to < Math.Min(level.Length, step + HalfSecond + 1); to++)
            {
                sum += level[to];
            }

            for (; from < step - HalfSecond; from++)
            {
                sum -= level[from];
            }

            moving[step] = level[step] - (float)(sum / (to - from));
            power += (double)moving[step] * moving[step];
        }

        double spread = Math.Sqrt(power / Math.Max(1, level.Length));
        return spread < StillBand ? 0 : spread;
    }
}
