using System.Collections.Immutable;

namespace SyncBench.Intake;

/// <summary>Where a person knows better than the analysis; all of it optional, all of it wins.</summary>
/// <param name="Mics">Mics to be heard, in no order.</param>
/// <param name="Roles">What files are; of two that contradict each other the later counts.</param>
/// <param name="Placed">Files that lie where a person says.</param>
/// <param name="LeftOut">Files, by their path in the dump, that are in no take and no timeline.</param>
public sealed record Corrections(
    ImmutableArray<MicCorrection> Mics = default,
    ImmutableArray<RoleCorrection> Roles = default,
    ImmutableArray<PlacedByHand> Placed = default,
    ImmutableArray<string> LeftOut = default)
{
    /// <summary>Lies beside the results, where the page writes it; every run into that folder reads it.</summary>
    public const string FileName = "corrections.json";

    public static Corrections None { get; } = new();

    public ImmutableArray<MicCorrection> Mics { get; init; } = OrNone(Mics);

    public ImmutableArray<RoleCorrection> Roles { get; init; } = OrNone(Roles);

    public ImmutableArray<PlacedByHand> Placed { get; init; } = OrNone(Placed);

    public ImmutableArray<string> LeftOut { get; init; } = OrNone(LeftOut);

    /// <summary>Those stored in a folder of results; none where none are.</summary>
    /// <exception cref="SettingsException">They cannot be read, or say something unknown or impossible.</exception>
    public static Corrections Load(string outputFolder)
    {
        string path = Path.Combine(outputFolder, FileName);
        try
        {
            Corrections read = SettingsFile.Read<Corrections>(path, "run again") ?? None;
            return read.Wrong() is { } wrong ? throw new SettingsException($"{path}: {wrong}. Correct it, then run again.") : read;
        }
        catch (Exception none) when (none is FileNotFoundException or DirectoryNotFoundException)
        {
            return None;
        }
        catch (Exception closed) when (closed is IOException or UnauthorizedAccessException)
        {
            throw new SettingsException($"{path}: the corrections cannot be read. Check disk and permissions.");
        }
    }

    /// <summary>Whole or not at all.</summary>
    public void Save(string outputFolder) => SettingsFile.Write(Path.Combine(outputFolder, FileName), this);

    /// <exception cref="SettingsException">The two contradict each other.</exception>
    public Corrections And(Corrections more)
    {
        var all = new Corrections(
            [.. Mics, .. more.Mics], [.. Roles, .. more.Roles], [.. Placed, .. more.Placed], [.. LeftOut.Union(more.LeftOut, StringComparer.Ordinal)]);
        return all.Wrong() is { } wrong ? throw new SettingsException($"{wrong}. Correct one of them, then run again.") : all;
    }

    /// <summary>Each in one line of words, by which <see cref="Without"/> knows it.</summary>
    public ImmutableArray<string> InWords() =>
        [.. Roles.Select(role => role.ToString()), .. Mics.Select(mic => mic.ToString()), .. Placed.Select(pair => pair.ToString()), .. LeftOut.Select(Out)];

    public Corrections Without(string words) => new(
        Mics.RemoveAll(mic => mic.ToString() == words), Roles.RemoveAll(role => role.ToString() == words),
        Placed.RemoveAll(pair => pair.ToString() == words), LeftOut.RemoveAll(file => Out(file) == words));

    /// <summary>Holds them against the dump's files.</summary>
    /// <exception cref="SettingsException">One names a file that the dump does not have.</exception>
    public void Check(DumpListing dump)
    {
        var files = dump.Files.Select(file => file.Path).ToHashSet(StringComparer.Ordinal);
        IEnumerable<string> named = [.. Roles.Select(role => role.File), .. Placed.SelectMany(pair => (string[])[pair.File, pair.Against]), .. LeftOut];
        if (named.FirstOrDefault(file => !files.Contains(file)) is { } lost)
        {
            throw new SettingsException($"a correction names {lost}, and the dump has no such file. Correct or take back the correction, then run again.");
        }
    }

    /// <summary>What is wrong with them, as far as it can be told without the dump; null where nothing is.</summary>
    internal string? Wrong() =>
        Mics.Contains(null!) || Roles.Contains(null!) || Placed.Contains(null!) || LeftOut.Contains(null!) ? "a correction is null"
        : WrongMic()
            ?? Roles.Select(role => role.Wrong()).FirstOrDefault(wrong => wrong is not null)
            ?? WrongPlace();

    private string? WrongMic()
    {
        for (int i = 0; i < Mics.Length; i++)
        {
            if (Mics[i].Wrong() is { } wrong)
            {
                return $"{Mics[i]}: {wrong}";
            }

            for (int other = 0; other < i; other++)
            {
                if (Mics[other].Overlaps(Mics[i]))
                {
                    return $"{Mics[other]} and {Mics[i]} overlap";
                }
            }
        }

        return null;
    }

    private string? WrongPlace()
    {
        foreach (PlacedByHand pair in Placed)
        {
            string? wrong = pair.Wrong()
                ?? (Placed.Count(other => other.File == pair.File) > 1 ? $"{pair.File} is placed by hand twice"
                    : LeftOut.Contains(pair.File) || LeftOut.Contains(pair.Against) ? $"{pair} names a file that is left out"
                    : IsInACircle(pair) ? $"{pair}: the pairs placed by hand go round in a circle"
                    : null);
            if (wrong is not null)
            {
                return wrong;
            }
        }

        return null;
    }

    private bool IsInACircle(PlacedByHand pair)
    {
        PlacedByHand? at = pair;
        for (int steps = 0; at is not null; steps++)
        {
            if (steps > Placed.Length)
            {
                return true;
            }

            at = Placed.FirstOrDefault(other => other.File == at.Against);
        }

        return false;
    }

    private static string Out(string file) => $"{file} is left out";

    private static ImmutableArray<T> OrNone<T>(ImmutableArray<T> items) => items.IsDefault ? [] : items;
}
