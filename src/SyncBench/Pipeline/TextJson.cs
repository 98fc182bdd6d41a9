using System.Text.Json;
using System.Text.Json.Serialization;

namespace SyncBench.Pipeline;

/// <summary>Something that stands in JSON as one string: an exact number, or the name of what is known otherwise.</summary>
internal sealed class TextJson<T>(Func<T, string> write, Func<string, T> read) : JsonConverter<T>
{
    public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => read(reader.GetString()!);

    public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) => writer.WriteStringValue(write(value));
}
