using SyncBench.Scenes;

namespace SyncBench.Benchmarks;

/// <summary>
/// The synthesiser says the same words in the same samples each time, as no one alive does; said faster or slower by a
/// little, a phrase that comes again is no true match.
/// </summary>
internal static class Tempo
{
    private static readonly WindowedSinc Between = new();

    internal static float[] Said(float[] words, double speed)
    {
        var said = new float[(int)(words.Length / speed)];
        for (int n = 0; n < said.Length; n++)
        {
            said[n] = Between.At(words, n * speed);
        }

        return said;
    }
}
