using SyncBench.Media;

namespace SyncBench.Selection;

/// <summary>Whose voice the mics are compared by, step by step of the grid.</summary>
/// <param name="Wearers">How many people wear a lavalier; 1 where nobody does.</param>
/// <param name="Wearer">Whose lavalier is nearest to whoever speaks, or spoke last; 0 to <paramref name="Wearers"/> − 1.</param>
/// <param name="Far">Whether somebody speaks who wears none: who asks, from beside the camera.</param>
/// <remarks>
/// The audience hears the subject alone. A mic beside the camera hears who asks far better than any lavalier does, and would pass for
/// the cleaner one all through the take if questions counted. Of two who wear a lavalier each, each is heard best through his own.
/// </remarks>
internal sealed record Voices(int Wearers, byte[] Wearer, bool[] Far)
{
    /// <summary>
    /// Two lavaliers that hear two talkers this far apart are worn by both: each is near one of them. (On one chest they hear who asks
    /// a few decibels apart.)
    /// </summary>
    private const float TwoWearersHalfDb = 2 * 12;

    /// <summary>Whoever wears a lavalier speaks for more than the rest; if not, what is so near to it is cloth.</summary>
    private const double MostFar = 0.8;

    public static Voices Of(TakeGrid grid, MicTrack[] tracks, MicMatches matches)
    {
        int[] lavaliers = [.. Enumerable.Range(0, tracks.Length).Where(mic => tracks[mic].Source.Mic.Role == MicRole.Lavalier)];
        int[][] wearers = WearersOf(lavaliers, tracks, matches);
        return new Voices(Math.Max(1, wearers.Length), Nearest(grid, wearers, tracks, matches), FarFrom(grid, lavaliers, tracks, matches));
    }

    /// <summary>The lavaliers of each who wears some; a recorder that stopped and went on is worn by the same person.</summary>
    private static int[][] WearersOf(int[] lavaliers, MicTrack[] tracks, MicMatches matches)
    {
        var wearers = new List<List<int>>();
        foreach (int mic in lavaliers)
        {
            List<int>? his = wearers.Find(worn => worn.Exists(other => tracks[other].Source.Line == tracks[mic].Source.Line))
                ?? wearers.Find(worn => worn.TrueForAll(other => !AreApart(matches.Between(mic, other))));
            if (his is null)
            {
                wearers.Add([mic]);
            }
            else
            {
                his.Add(mic);
            }
        }

        return [.. wearers.Select(worn => worn.ToArray())];
    }

    private static bool AreApart(MicMatch? match) =>
        match is not null && SpeechBands.Mid<float>(match.MostHalfDb) - SpeechBands.Mid<float>(match.LeastHalfDb) >= TwoWearersHalfDb;

    private static byte[] Nearest(TakeGrid grid, int[][] wearers, MicTrack[] tracks, MicMatches matches)
    {
        var nearest = new byte[grid.Steps];
        if (wearers.Length < 2)
        {
            return nearest;
        }

        var beats = new byte[wearers.Length][];
        for (int wearer = 0; wearer < wearers.Length; wearer++)
        {
            beats[wearer] = new byte[grid.Steps];
            foreach (int mic in wearers[wearer])
            {
                foreach (int other in wearers.Where((_, w) => w != wearer).SelectMany(worn => worn).Where(other => AreApart(matches.Between(mic, other))))
                {
                    bool[] nearer = NearerVoice.Of(tracks[mic], [(tracks[other], matches.Between(mic, other)!)]);
                    for (int i = 0; i < nearer.Length; i++)
                    {
                        beats[wearer][tracks[mic].First + i] += nearer[i] ? (byte)1 : (byte)0;
                    }
                }
            }
        }

        byte last = 0;
        for (int step = 0; step < nearest.Length; step++)
        {
            for (byte wearer = 0; wearer < beats.Length; wearer++)
            {
                last = beats[wearer][step] > beats[last][step] ? wearer : last;
            }

            nearest[step] = last;
        }

        return nearest;
    }

    /// <summary>Far is who is far from every lavalier that can tell.</summary>
    private static bool[] FarFrom(TakeGrid grid, int[] lavaliers, MicTrack[] tracks, MicMatches matches)
    {
        bool[] told = new bool[grid.Steps], near = new bool[grid.Steps];
        foreach (int mic in lavaliers)
        {
            MicTrack lavalier = tracks[mic];
            bool[] tells = new bool[lavalier.Count], far = new bool[lavalier.Count];
            foreach (int other in matches.OthersOf(mic).Except(lavaliers).Where(other => matches.Between(other, mic)!.HearsTwo))
            {
                bool[] nearer = NearerVoice.Of(tracks[other], [(lavalier, matches.Between(other, mic)!)]);
                if (nearer.Count(isNearer => isNearer) > MostFar * nearer.Length)
                {
                    continue;
                }

                for (int step = Math.Max(lavalier.First, tracks[other].First); step < Math.Min(lavalier.End, tracks[other].End); step++)
                {
                    tells[step - lavalier.First] = true;
                    far[step - lavalier.First] |= nearer[step - tracks[other].First];
                }
            }

            for (int i = 0; i < tells.Length; i++)
            {
                told[lavalier.First + i] |= tells[i];
                near[lavalier.First + i] |= tells[i] && !far[i];
            }
        }

        return [.. told.Zip(near, (isTold, isNear) => isTold && !isNear)];
    }
}
