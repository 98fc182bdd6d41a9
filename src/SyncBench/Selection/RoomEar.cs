using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Selection;

/// <summary>Judges from the band levels how much of the room a mic hears.</summary>
/// <remarks>
/// Speech breaks off within a few hundredths of a second, an echo does not let it: the less direct sound a mic has, the less far
/// its bands fall just behind a peak. What counts is how far the steepest tenth of the subject's peaks falls within 40 ms. That depends on
/// the voice, too, so where there is a lavalier only the lavalier is judged so, and every other mic by how much more or less directly
/// it hears the same voice (<see cref="RelativeDirectness"/>). The measures are this project's own; how they go with the direct-to-reverberant ratio
/// was fitted to rooms with a known one (tuning part of `scripts/bench selection`).
/// </remarks>
internal static class RoomEar
{
    internal const int FirstBand = 9; // 630 Hz
    internal const int EndBand = 18; // up to 4.5 kHz

    /// <summary>15 dB, by which a peak stands above the noise.</summary>
    private const int Clear = 30;
    private const int Behind = 4;
    private const int FewestPeaks = 100;
    private const double Steepest = 0.9;

    /// <summary>Beyond these nothing says any more.</summary>
    private const double LowestDb = -12;
    private const double HighestDb = 18;

    /// <summary>A judgement for each mic in which enough speech stands clear of the noise.</summary>
    public static ImmutableArray<RoomSound> Of(TakeMics mics)
    {
        int lavalier = Array.FindIndex(mics.Tracks, track => track.Source.Mic.Role == MicRole.Lavalier);
        double? fallAtLavalierDb = lavalier < 0 ? null : FallDb(lavalier);
        return
        [
            .. mics.Tracks
                .Select((track, mic) => (track.Source, RatioDb: RatioDb(mic)))
                .Where(judged => judged.RatioDb is not null)
                .Select(judged => new RoomSound(judged.Source, Math.Clamp(judged.RatioDb!.Value, LowestDb, HighestDb))),
        ];

        double? RatioDb(int mic)
        {
            if (mics.Tracks[mic].Source.Mic.Role == MicRole.Lavalier)
            {
                return OfLavalierDb(mic == lavalier ? fallAtLavalierDb : FallDb(mic));
            }

            double? againstDb = fallAtLavalierDb is null ? null : AgainstLavalierDb(MoreDb(mic), fallAtLavalierDb);
            return againstDb ?? AloneDb(FallDb(mic));
        }

        double? MoreDb(int mic) => RelativeDirectness.Db(
            mics.Tracks[mic], mics.Faults[mic].Faulty, mics.Tracks[lavalier], mics.Faults[lavalier].Faulty, mics.Far);

        double? FallDb(int mic) => RoomEar.FallDb(mics.Tracks[mic], mics.Faults[mic].Faulty, mics.Far);
    }

    // Straight lines through the tuning part; all in dB.
    private static double? OfLavalierDb(double? fallDb) => 1.9 + (0.76 * fallDb);

    private static double? AgainstLavalierDb(double? moreDb, double? fallAtLavalierDb) => moreDb - 6.2 + (0.87 * fallAtLavalierDb);

    /// <summary>Without knowing how abruptly the voice breaks off.</summary>
    private static double? AloneDb(double? fallDb) => 2.9 * (fallDb - 12.9);

    /// <param name="faulty">Steps of the mic that are left out.</param>
    /// <param name="far">Steps of the grid that are left out.</param>
    private static double? FallDb(MicTrack track, bool[] faulty, bool[] far)
    {
        var falls = new int[256];
        int peaks = 0;
        for (int step = track.First + 1; step < track.End - Behind; step++)
        {
            if (!far[step] && !faulty.AsSpan(step - track.First, Behind + 1).Contains(true))
            {
                peaks += Count(track, step, falls);
            }
        }

        return peaks < FewestPeaks ? null : SteepDb(falls, peaks);
    }

    private static int Count(MicTrack track, int step, int[] falls)
    {
        ReadOnlySpan<byte> before = track.Levels(step - 1), here = track.Levels(step), next = track.Levels(step + 1);
        ReadOnlySpan<byte> later = track.Levels(step + Behind), noise = track.Noise(step);
        int peaks = 0;
        for (int band = FirstBand; band < EndBand; band++)
        {
            if (here[band] >= noise[band] + Clear && here[band] >= before[band] && here[band] >= next[band])
            {
                falls[Math.Max(0, here[band] - Math.Max(later[band], noise[band]))]++;
                peaks++;
            }
        }

        return peaks;
    }

    /// <summary>The quantile, spread evenly within a code of half a decibel.</summary>
    private static double SteepDb(int[] falls, int peaks)
    {
        double wanted = Steepest * peaks;
        int code = 0;
        for (; wanted > falls[code]; code++)
        {
            wanted -= falls[code];
        }

        return (code + (wanted / falls[code]) - 0.5) / 2;
    }
}
