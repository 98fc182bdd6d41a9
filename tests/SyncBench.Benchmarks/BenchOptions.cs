using System.Text.Json;

namespace SyncBench.Benchmarks;

/// <summary>What a bench was asked: options that stand alone, and options with a value.</summary>
internal sealed class BenchOptions
{
    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true };

    private readonly HashSet<string> _alone = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> _values = new(StringComparer.Ordinal);

    /// <returns>Null where an option is none of these, or has no value.</returns>
    internal static BenchOptions? Parse(string[] given, string[] alone, string[] withValue)
    {
        var options = new BenchOptions();
        for (int i = 0; i < given.Length; i++)
        {
            if (alone.Contains(given[i], StringComparer.Ordinal))
            {
                options._alone.Add(given[i]);
            }
            else if (withValue.Contains(given[i], StringComparer.Ordinal) && i + 1 < given.Length)
            {
                options._values[given[i]] = given[++i];
            }
            else
            {
                return null;
            }
        }

        return options;
    }

    internal bool Has(string option) => _alone.Contains(option);

    internal string? Value(string option) => _values.GetValueOrDefault(option);

    /// <summary>The older report that "--compare" names; null where none is.</summary>
    internal async Task<T?> OlderAsync<T>()
        where T : class => Value("--compare") is { } file ? JsonSerializer.Deserialize<T>(await File.ReadAllTextAsync(file)) : null;

    /// <summary>Where "--out" names a file, the report goes there too.</summary>
    internal async Task KeepAsync<T>(T report)
    {
        if (Value("--out") is { } file)
        {
            await File.WriteAllTextAsync(file, JsonSerializer.Serialize(report, Indented));
        }
    }
}
