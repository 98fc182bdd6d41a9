using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace SyncBench.Intake;

/// <summary>How every file of settings is written: JSON in snake case, comments allowed, no unknown name.</summary>
internal static class SettingsFile
{
    internal static readonly JsonSerializerOptions Format = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        ReadCommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        WriteIndented = true,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
        IgnoreReadOnlyProperties = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.SnakeCaseLower, allowIntegerValues: false) },
    };

    /// <param name="then">What the reader does once the file is corrected: "run again".</param>
    /// <returns>Null where the file says null.</returns>
    /// <exception cref="SettingsException">The file says something unknown.</exception>
    /// <exception cref="IOException">It cannot be opened.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be opened.</exception>
    internal static T? Read<T>(string path, string then)
        where T : class
    {
        using FileStream file = File.OpenRead(path);
        try
        {
            return JsonSerializer.Deserialize<T>(file, Format);
        }
        catch (JsonException wrong)
        {
            string place = wrong.LineNumber is { } line ? $" near line {line + 1}" : string.Empty;
            throw new SettingsException(
                $"{path}: the settings cannot be understood{place} ({FirstSentence(wrong.Message)}). Correct the file, then {then}.");
        }
    }

    /// <summary>Whole or not at all, as <see cref="Read{T}"/> reads it.</summary>
    internal static void Write<T>(string path, T settings) =>
        WholeFile.Write(path, stream => JsonSerializer.Serialize(stream, settings, Format));

    /// <summary>As it would have to be written, with all that is usual.</summary>
    internal static string Text<T>(T settings)
        where T : class => JsonSerializer.Serialize(settings, Format);

    /// <summary>In one line: the framework quotes what it did not understand, control characters and all.</summary>
    private static string FirstSentence(string message)
    {
        const int Longest = 200;
        string sentence = message.Split(". ")[0].TrimEnd('.');
        sentence = string.Concat(sentence.Select(c => char.IsControl(c) ? '?' : c));
        return sentence.Length > Longest ? sentence[..Longest] + "…" : sentence;
    }
}
