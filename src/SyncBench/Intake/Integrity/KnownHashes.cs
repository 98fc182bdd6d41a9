using System.Collections.Immutable;

namespace SyncBench.Intake.Integrity;

/// <summary>What all manifests together say of each file of a dump.</summary>
public sealed class KnownHashes
{
    private readonly Dictionary<string, List<Known>> _byPath = new(StringComparer.Ordinal);
    private readonly List<(string Place, IgnorePatterns Patterns)> _covered = [];

    public KnownHashes(IEnumerable<MhlHistory> histories)
    {
        foreach (MhlHistory history in histories)
        {
            string prefix = history.Place.Length > 0 ? history.Place + "/" : string.Empty;
            foreach ((MhlManifest manifest, int i) in history.Generations.Select((manifest, i) => (manifest, i)))
            {
                foreach (MhlFile file in manifest.Files)
                {
                    Add(prefix, file, i + 1);
                }
            }

            if (!history.Generations.IsEmpty)
            {
                _covered.Add((prefix, new IgnorePatterns([.. IgnorePatterns.Usual, .. history.Generations.SelectMany(g => g.Ignore)])));
            }
        }
    }

    public bool HasManifest => _covered.Count > 0;

    internal IEnumerable<string> Paths => _byPath.Keys.Order(StringComparer.Ordinal);

    /// <summary>The checksums that a file is to be held against, with the generation that first gave each.</summary>
    internal ImmutableArray<Known> Of(string path) => _byPath.TryGetValue(path, out List<Known>? known) ? [.. known] : [];

    /// <summary>Whether a manifest ought to list the file.</summary>
    internal bool Covers(string path) => _covered.Any(covered =>
        path.StartsWith(covered.Place, StringComparison.Ordinal) && !covered.Patterns.Ignores(path[covered.Place.Length..]));

    private void Add(string prefix, MhlFile file, int generation)
    {
        List<Known> known = file.PreviousPath is { } previous && _byPath.Remove(prefix + previous, out List<Known>? moved)
            ? moved
            : _byPath.GetValueOrDefault(prefix + file.Path) ?? [];
        foreach (MhlHash hash in file.Hashes)
        {
            // A checksum of a changed file shows nothing but the change; of the others the first counts.
            if (hash.Action != MhlAction.Failed && known.All(earlier => earlier.Hash.Kind != hash.Hash.Kind))
            {
                known.Add(new Known(hash.Hash, file.Bytes, generation));
            }
        }

        _byPath[prefix + file.Path] = known;
    }

    internal readonly record struct Known(FileHash Hash, long? Bytes, int Generation);
}
