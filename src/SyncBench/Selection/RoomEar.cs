using System.Collections.Immutable;
using SyncBench.Media;

namespace SyncBench.Selection;

/// <summary>Judges from the band levels how much of the room a mic hears.</summary>
/// <remarks>
/// Speech breaks off within a few hundredths of a second, an echo does not let it: the less direct sound a mic has, the less far
/// its bands fall just behind a peak. What counts is how far the steepest tenth of the subject's peaks falls within 40 ms, and, where
/// there is a lavalier, how far it falls there: that is how abruptly this voice breaks off. The measure is this project's own; how it
/// goes with the direct-to-reverberant ratio was fitted to rooms with a known one (tuning part of `scripts/bench selection`).
/// </remarks>
internal static class RoomEar
{
    private const int FirstBand = 9; // 630 Hz
    private const int EndBand = 18; // up to 4.5 kHz

    /// <summary>15 dB, by which a peak stands above the noise.</summary>
    private const int Clear = 30;
    private const int Behind = 4;
    private const int FewestPeaks = 250;
    private const double Steepest = 0.9;

    /// <summary>A fall of so many dB, where direct and reverberant sound are equally strong, and dB of ratio for a dB of fall.</summary>
    private const double EvenDb = 13.4;
    private const double RatioPerFall = 3.6;

    /// <summary>The fall of a usual voice at a lavalier, and dB of ratio for a dB by which this voice breaks off more abruptly.</summary>
    private const double UsualVoiceDb = 17.1;
    private const double RatioPerVoice = 2.6;

    /// <summary>Beyond these the fall says no more.</summary>
    private const double LowestDb = -12;
    private const double HighestDb = 18;

    /// <summary>A judgement for each mic in which enough speech stands clear of the noise.</summary>
    public static ImmutableArray<RoomSound> Of(TakeMics mics)
    {
        (MicTrack Track, double? FallDb)[] falls = [.. mics.Tracks.Select((track, mic) => (track, FallDb(track, mics.Faults[mic].Faulty, mics.Far)))];
        double voiceDb = falls.Where(fall => fall.Track.Source.Mic.Role == MicRole.Lavalier).Max(fall => fall.FallDb) ?? UsualVoiceDb;
        return
        [
            .. falls.Where(fall => fall.FallDb is not null).Select(fall => new RoomSound(
                fall.Track.Source,
                Math.Clamp(
                    ((fall.FallDb!.Value - EvenDb) * RatioPerFall) - ((voiceDb - UsualVoiceDb) * RatioPerVoice), LowestDb, HighestDb))),
        ];
    }

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
