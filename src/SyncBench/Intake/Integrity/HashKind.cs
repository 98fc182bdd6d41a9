namespace SyncBench.Intake.Integrity;

/// <summary>The checksums of ASC MHL 1.0, the fastest first.</summary>
public enum HashKind
{
    Xxh128,
    Xxh3,
    Xxh64,
    Md5,
    Sha1,

    /// <summary>C4 id, SMPTE ST 2114: SHA-512 in base 58.</summary>
    C4,
}

/// <param name="Value">As ASC MHL writes it: lower-case hexadecimal digits, most significant first, or a C4 id.</param>
public readonly record struct FileHash(HashKind Kind, string Value)
{
    public override string ToString() => $"{Kind.InMhl()} {Value}";
}

/// <summary>Names of checksums as ASC MHL spells them.</summary>
public static class HashKindNames
{
    public static string InMhl(this HashKind kind) => kind switch
    {
        HashKind.Xxh128 => "xxh128",
        HashKind.Xxh3 => "xxh3",
        HashKind.Xxh64 => "xxh64",
        HashKind.Md5 => "md5",
        HashKind.Sha1 => "sha1",
        _ => "c4",
    };

    /// <returns>Null for a name that ASC MHL does not have.</returns>
    public static HashKind? Of(string name)
    {
        foreach (HashKind kind in Enum.GetValues<HashKind>())
        {
            if (kind.InMhl() == name)
            {
                return kind;
            }
        }

        return null;
    }
}
