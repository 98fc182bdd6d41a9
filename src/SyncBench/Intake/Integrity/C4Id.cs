using System.Numerics;

namespace SyncBench.Intake.Integrity;

/// <summary>SMPTE ST 2114 (from memory): "c4" and the SHA-512 as a number in base 58, padded to 88 digits.</summary>
public static class C4Id
{
    private const string Digits = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz";
    private const int DigitCount = 88;

    /// <param name="sha512">64 bytes.</param>
    public static string OfSha512(ReadOnlySpan<byte> sha512)
    {
        var number = new BigInteger(sha512, isUnsigned: true, isBigEndian: true);
        Span<char> id = stackalloc char[2 + DigitCount];
        id[0] = 'c';
        id[1] = '4';
        for (int i = id.Length - 1; i >= 2; i--)
        {
            number = BigInteger.DivRem(number, Digits.Length, out BigInteger digit);
            id[i] = Digits[(int)digit];
        }

        return new string(id);
    }

    /// <returns>The SHA-512 that the id stands for; null for text that is no C4 id.</returns>
    public static byte[]? ToSha512(string id)
    {
        if (id.Length != 2 + DigitCount || !id.StartsWith("c4", StringComparison.Ordinal))
        {
            return null;
        }

        BigInteger number = BigInteger.Zero;
        foreach (char c in id.AsSpan(2))
        {
            int digit = Digits.IndexOf(c, StringComparison.Ordinal);
            if (digit < 0)
            {
                return null;
            }

            number = (number * Digits.Length) + digit;
        }

        byte[] bytes = number.ToByteArray(isUnsigned: true, isBigEndian: true);
        return bytes.Length > 64 ? null : [.. new byte[64 - bytes.Length], .. bytes];
    }
}
