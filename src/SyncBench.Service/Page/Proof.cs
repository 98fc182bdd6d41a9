using System.Security.Cryptography;
using System.Text;

namespace SyncBench.Service.Page;

/// <summary>
/// Stands in every form of the page, where no other site can read it: a request that changes something and lacks it was
/// not made on the page.
/// </summary>
internal sealed class Proof
{
    private const int Bytes = 32;

    internal string Value { get; } = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(Bytes));

    internal bool Is(string? given) => SameSecret.Are(given ?? string.Empty, Value);
}

/// <summary>Compares without telling by its time how much was right.</summary>
internal static class SameSecret
{
    internal static bool Are(string one, string other) =>
        CryptographicOperations.FixedTimeEquals(SHA256.HashData(Encoding.UTF8.GetBytes(one)), SHA256.HashData(Encoding.UTF8.GetBytes(other)));
}
