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

    private readonly double[] _levelSums;
    private readonly double[] _powerSums;

    private SpeechEnvelope(float[][] bands, double liveliness, double[] levelSums, double[] powerSums) =>
        (Bands, Liveliness, _levelSums, _powerSums) = (bands, liveliness, levelSums, powerSums);

    /// <summary>Loudness that two seconds in twenty reach or pass: how loud the talker of this channel speaks.</summary>
    internal double LoudLevelDb { get; private init; }

    /// <summary>[band][step]; all zeros where nothing moves.</summary>
    internal float[][] Bands { get; }

    internal int Steps => Bands[0].Length;

    /// <summary>Mean spread of the six bands in decibels: which of a clip's channels speaks clearest.</summary>
    internal double Liveliness { get; }

    internal bool IsStill => Liveliness == 0;

    internal static SpeechEnvelope Of(BandLevels levels)
    {
        float[][] bands = [.. Joined.Select(join => Level(levels, join.First, join.Count))];
        double[] levelSums = new double[bands[0].Length + 1], powerSums = new double[bands[0].Length + 1];
        for (int step = 0; step < bands[0].Length; step++)
        {
            double level = bands.Average(band => (band[step] / 2) - 120);
            levelSums[step + 1] = levelSums[step] + level;
            powerSums[step + 1] = powerSums[step] + Math.Pow(10, level / 10);
        }

        double liveliness = bands.Average(Standardise);
        var envelope = new SpeechEnvelope(bands, liveliness, levelSums, powerSums);
        return new SpeechEnvelope(bands, liveliness, levelSums, powerSums) { LoudLevelDb = LoudLevel(envelope) };
    }

    /// <summary>Mean speech-band level in decibels over a stretch of steps, as far as it lies inside the clip.</summary>
    internal double MeanLevelDb(int firstStep, int steps)
    {
        int from = Math.Clamp(firstStep, 0, Steps), to = Math.Clamp(firstStep + steps, 0, Steps);
        return to > from ? (_levelSums[to] - _levelSums[from]) / (to - from) : BandLevels.ToDb(0);
    }

    /// <summary>
    /// Level of the mean power over a stretch of steps: what is spoken counts and the pauses between hardly do.
    /// </summary>
    internal double LoudnessDb(int firstStep, int steps)
    {
        int from = Math.Clamp(firstStep, 0, Steps), to = Math.Clamp(firstStep + steps, 0, Steps);
        return to > from
            ? 10 * Math.Log10(Math.Max(1e-13, (_powerSums[to] - _powerSums[from]) / (to - from)))
            : BandLevels.ToDb(0);
    }

    private static double LoudLevel(SpeechEnvelope envelope)
    {
        double[] levels =
        [
            .. Enumerable.Range(0, Math.Max(1, envelope.Steps / LevelSteps))
                .Select(i => envelope.LoudnessDb(i * LevelSteps, LevelSteps)),
        ];
        Array.Sort(levels);
        return levels[(int)(0.9 * (levels.Length - 1))];
    }

    /// <summary>Mean of the joined bands' decibels, which weighs each alike, as whitening does later.</summary>
    private static float[] Level(BandLevels levels, int first, int count)
    {
        float[] level = new float[levels.Steps];
        for (int step = 0; step < level.Length; step++)
        {
            int sum = 0;
            foreach (byte value in levels.Step(step).Slice(first, count))
            {
                sum += value;
            }

            level[step] = (float)sum / count;
        }

        return level;
    }

    /// <returns>The band's spread in decibels, 0 where it is still.</returns>
    private static double Standardise(float[] level)
    {
        float[] moving = new float[level.Length];
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
        for (int step = 0; step < level.Length; step++)
        {
            level[step] = spread < StillBand ? 0 : Math.Clamp((float)(moving[step] / spread), -Limit, Limit);
        }

        return spread < StillBand ? 0 : spread / 2;
    }
}
