using System.Collections.Immutable;
using SyncBench.Media;
using SyncBench.Signal.Loudness;

namespace SyncBench.Selection;

/// <summary>How loud a mic is over the time of a take in which it rolls, over all clips of its device together.</summary>
/// <param name="Figures">Measured as one channel, which is how BS.1770 counts a mono file.</param>
/// <param name="ActiveSpeechDb">ITU-T P.56, dB relative to full scale; −∞ where nobody is heard.</param>
/// <param name="MatchDb">
/// What brings this mic to the level of the take's main mic where both hear the same speech; 0 for the main mic.
/// </param>
/// <param name="MatchedBy">How the match was found, in words.</param>
public sealed record MicLoudness(
    Device Device, MicChannel Mic, LoudnessFigures Figures, double ActiveSpeechDb, double MatchDb, string MatchedBy);

/// <summary>The loudness of a take.</summary>
/// <param name="Mics">In order of role, then of device and channel.</param>
/// <param name="Dialogue">Of the chosen mics, each at its matched level; null where none was chosen.</param>
/// <param name="File">Of the dialogue as it was written to a file; null where none was.</param>
public sealed record TakeLoudness(
    ImmutableArray<MicLoudness> Mics, LoudnessFigures? Dialogue, LoudnessFigures? File = null)
{
    public static TakeLoudness Unknown { get; } = new([], null);

    /// <summary>What brings a mic, as it is in its file, to where the whole dialogue has the target loudness.</summary>
    public double? GainDb(MicSource source) => Of(source)?.MatchDb + Dialogue?.GainDb;

    /// <summary>Null where the mic was not measured.</summary>
    public MicLoudness? Of(MicSource source) =>
        Mics.FirstOrDefault(mic => mic.Device == source.Clip.Device && mic.Mic == source.Mic);
}
