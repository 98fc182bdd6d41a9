namespace SyncBench.Scenes;

/// <summary>Random numbers that are the same in every run and on every machine.</summary>
/// <remarks>
/// SplitMix64: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014
/// (constants from memory; they are those of java.util.SplittableRandom). System.Random promises no fixed sequence.
/// </remarks>
public sealed class SeededRandom(ulong seed)
{
    private ulong _state = seed;

    /// <summary>A generator for one named use, independent of those with other names.</summary>
    public SeededRandom(ulong seed, string use)
        : this(Mix(seed, use))
    {
    }

    public ulong NextBits()
    {
        _state += 0x9E3779B97F4A7C15;
        ulong z = _state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }

    /// <summary>Even over [0, 1).</summary>
    public double NextDouble() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Even over [low, high).</summary>
    public double Between(double low, double high) => low + ((high - low) * NextDouble());

    /// <summary>A whole number, even over [0, count).</summary>
    public int Below(int count) => (int)(NextDouble() * count);

    /// <summary>
    /// Near Gaussian, mean 0, variance 1: the sum of four even 16-bit numbers (Irwin-Hall of order 4, so never beyond
    /// ±3.46). Noise needs a flat spectrum, not far tails.
    /// </summary>
    public float NextGaussian()
    {
        ulong bits = NextBits();
        int sum = (ushort)bits + (ushort)(bits >> 16) + (ushort)(bits >> 32) + (ushort)(bits >> 48);

        // Four numbers even over 0 … 65535 have the mean 2·65535 and the variance 4·(2³² − 1)/12.
        return (sum - 131_070) * (1f / 37_837.2276f);
    }

    private static ulong Mix(ulong seed, string use)
    {
        // FNV-1a over the name (Fowler, Noll, Vo; constants from memory): string.GetHashCode differs between runs.
        ulong hash = 14_695_981_039_346_656_037;
        foreach (char c in use)
        {
            hash = (hash ^ c) * 1_099_511_628_211;
        }

        return hash ^ (seed * 0x9E3779B97F4A7C15);
    }
}
