using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Pipeline;

/// <summary>How the outcome of a stage is kept: JSON whose numbers are exact, and which names what earlier stages found instead of holding it.</summary>
internal static class StageJson
{
    /// <param name="known">How what earlier stages found is named.</param>
    internal static JsonSerializerOptions Format(params JsonConverter[] known)
    {
        var format = new JsonSerializerOptions
        {
            IgnoreReadOnlyProperties = true,
            NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
            RespectNullableAnnotations = true,
            RespectRequiredConstructorParameters = true,
            UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
            Converters =
            {
                new TextJson<MediaTime>(time => Fraction(time.Numerator, time.Denominator), text => MediaTime.OfFraction(Part(text, 0), Part(text, 1))),
                new TextJson<Rate>(rate => Fraction(rate.Numerator, rate.Denominator), text => new Rate((int)Part(text, 0), (int)Part(text, 1))),
            },
        };
        Array.ForEach(known, format.Converters.Add);
        return format;
    }

    internal static JsonConverter Named(IEnumerable<MediaFile> files) => Named(files, file => file.Path);

    internal static JsonConverter Named(IEnumerable<Clip> clips) => Named(clips, clip => clip.File.Path);

    internal static JsonConverter Named(IEnumerable<Placement> placements) => Named(placements, placement => placement.Clip.File.Path);

    internal static JsonConverter Named(IEnumerable<Take> takes) => Named(takes, take => take.Name);

    internal static T? Read<T>(string path, JsonSerializerOptions format)
        where T : class => KeptFolder.Read(path, file => JsonSerializer.Deserialize<T>(file, format));

    internal static void Write<T>(string path, T outcome, JsonSerializerOptions format)
        where T : class => KeptFolder.Write(path, stream => JsonSerializer.Serialize(stream, outcome, format));

    private static TextJson<T> Named<T>(IEnumerable<T> known, Func<T, string> name)
    {
        var byName = known.ToDictionary(name, StringComparer.Ordinal);
        return new TextJson<T>(name, text => byName[text]);
    }

    private static string Fraction(long numerator, long denominator) => string.Create(CultureInfo.InvariantCulture, $"{numerator}/{denominator}");

    private static long Part(string text, int part) => long.Parse(text.Split('/')[part], CultureInfo.InvariantCulture);
}
