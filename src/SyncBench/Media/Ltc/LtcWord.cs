using System.Globalization;
using SyncBench.Time;

namespace SyncBench.Media.Ltc;

/// <summary>One word of linear timecode: the label of one frame, and where on the channel it was heard.</summary>
/// <remarks>
/// Bits by SMPTE ST 12-1 (from notes on it and libltc's header): units and tens of frames at 0 and 8, of seconds at 16
/// and 24, of minutes at 32 and 40, of hours at 48 and 56, lowest bit first; a user nibble after each; 10 drop frame.
/// </remarks>
/// <param name="Bits">Bits 0 to 63, bit 0 lowest; the sync word is left off.</param>
/// <param name="StartSample">First edge that was heard of the word, in samples; a fraction, for edges lie between samples.</param>
/// <param name="EndSample">First edge after it.</param>
/// <param name="Reversed">Whether the word was played backwards, so that what was heard first is its end.</param>
public readonly record struct LtcWord(ulong Bits, double StartSample, double EndSample, bool Reversed)
{
    public int Hours => Digits(48, 56, 3);

    public int Minutes => Digits(32, 40, 7);

    public int Seconds => Digits(16, 24, 7);

    public int Frames => Digits(0, 8, 3);

    public bool DropFrame => (Bits >> 10 & 1) == 1;

    /// <summary>The eight user nibbles, the first lowest.</summary>
    public uint UserBits
    {
        get
        {
            uint user = 0;
            for (int nibble = 0; nibble < 8; nibble++)
            {
                user |= (uint)(Bits >> ((8 * nibble) + 4) & 15) << (4 * nibble);
            }

            return user;
        }
    }

    /// <summary>"10:20:30:12", with ';' before the frames where drop-frame is flagged.</summary>
    public string Label => string.Create(
        CultureInfo.InvariantCulture, $"{Hours:00}:{Minutes:00}:{Seconds:00}{(DropFrame ? ';' : ':')}{Frames:00}");

    /// <summary>Whether the digits are a time of day at 30 frames a second or fewer: chance and user bits hardly are.</summary>
    internal bool IsTime =>
        (Bits & 15) < 10 && (Bits >> 16 & 15) < 10 && (Bits >> 32 & 15) < 10 && (Bits >> 48 & 15) < 10
        && Hours < 24 && Minutes < 60 && Seconds < 60 && Frames < 30
        && !(DropFrame && Frames < 2 && Seconds == 0 && Minutes % 10 != 0);

    /// <summary>Frames since 00:00:00:00; null where the format has no such label.</summary>
    internal long? CountedBy(TimecodeFormat format) => format.TryParse(Label, out long frame, out _) ? frame : null;

    private int Digits(int units, int tens, uint mask) =>
        (int)(Bits >> units & 15) + (10 * (int)(Bits >> tens & mask));
}
