using SyncBench.Media.Ltc;

namespace SyncBench.Tests.Standards;

/// <summary>
/// The 80 bits of a word of linear timecode and their biphase mark, by SMPTE ST 12-1. The text of the standard was not
/// open to us: layout and sync word are as libltc's header documents them, and the two words were printed by libltc 1.3.2.
/// </summary>
public class TimecodeWordOfSt12Tests
{
    private const int HalfBit = 12; // 25 words a second at 48 kHz: 1920 samples for 80 bits

    private const string SyncWord = "0011111111111101";

    [Theory]
    [InlineData("11100000000000000110000010100000001000001100000001000000100100000011111111111101", "12:34:56:07", false)]
    [InlineData("01000000001000000000000000010000100000000000000010000000000000000011111111111101", "01:01:00;02", true)]
    public void AWord_SaysThis(string bits, string label, bool dropFrame)
    {
        Assert.Equal(80, bits.Length);
        Assert.EndsWith(SyncWord, bits, StringComparison.Ordinal);

        LtcWord word = Read(bits + bits + bits)[1];

        Assert.Equal(label, word.Label);
        Assert.Equal(dropFrame, word.DropFrame);
        Assert.Equal(160.0 * HalfBit, word.EndSample - word.StartSample, 0.01);
    }

    /// <summary>Each digit by itself: its place in the word, its weight, and the user nibble behind it.</summary>
    [Theory]
    [InlineData(0, 4, "00:00:00:0*")]
    [InlineData(8, 2, "00:00:00:*0")]
    [InlineData(16, 4, "00:00:0*:00")]
    [InlineData(24, 3, "00:00:*0:00")]
    [InlineData(32, 4, "00:0*:00:00")]
    [InlineData(40, 3, "00:*0:00:00")]
    [InlineData(48, 4, "0*:00:00:00")]
    [InlineData(56, 2, "*0:00:00:00")]
    public void ADigit_LiesHere(int firstBit, int digits, string place)
    {
        for (int bit = 0; bit < digits; bit++)
        {
            char[] bits = (new string('0', 64) + SyncWord).ToCharArray();
            bits[firstBit + bit] = '1';
            string expected = place.Replace('*', (char)('0' + (1 << bit)));

            // 8 tens of hours or frames are no time; they have no bit.
            Assert.Equal(expected, new LtcWord(Packed(bits), 0, 0, false).Label);
        }
    }

    [Fact]
    public void UserBits_FollowEachDigit()
    {
        for (int nibble = 0; nibble < 8; nibble++)
        {
            char[] bits = (new string('0', 64) + SyncWord).ToCharArray();
            bits[(8 * nibble) + 4] = '1';

            Assert.Equal(1u << (4 * nibble), new LtcWord(Packed(bits), 0, 0, false).UserBits);
        }
    }

    private static ulong Packed(char[] bits)
    {
        ulong packed = 0;
        for (int bit = 0; bit < 64; bit++)
        {
            packed |= bits[bit] == '1' ? 1UL << bit : 0;
        }

        return packed;
    }

    /// <summary>An edge where every bit begins, one more in the middle of a 1.</summary>
    private static List<LtcWord> Read(string bits)
    {
        var samples = new List<float>();
        float level = -1;
        foreach (char bit in bits + "0")
        {
            level = -level;
            samples.AddRange(Enumerable.Repeat(level, HalfBit));
            level = bit == '1' ? -level : level;
            samples.AddRange(Enumerable.Repeat(level, HalfBit));
        }

        var decoder = new BiphaseDecoder();
        var words = new List<LtcWord>();
        decoder.Start(2 * HalfBit);
        decoder.Read(samples.ToArray(), 0, words);
        return words;
    }
}
