using System.Text.Json;

namespace SyncBench.Intake;

/// <summary>Finds the line of a value in a file of settings that could be read.</summary>
internal static class SettingsLine
{
    /// <param name="way">To the value from the outside in: a name, or the number of an element from 0.</param>
    /// <returns>From 1; of the innermost value on the way that the file has, for what is usual is not written.</returns>
    internal static int Of(string path, IEnumerable<object> way)
    {
        byte[] text = File.ReadAllBytes(path);
        ReadOnlySpan<byte> mark = "\ufeff"u8;
        ReadOnlySpan<byte> json = text.AsSpan(text.AsSpan().StartsWith(mark) ? mark.Length : 0);
        var reader = new Utf8JsonReader(json, new JsonReaderOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
        reader.Read();
        long found = reader.TokenStartIndex;
        foreach (object step in way)
        {
            if (!Enter(ref reader, step))
            {
                break;
            }

            found = reader.TokenStartIndex;
        }

        return json[..(int)found].Count((byte)'\n') + 1;
    }

    /// <summary>From the start of an object or array to the start of a value in it.</summary>
    private static bool Enter(ref Utf8JsonReader reader, object step)
    {
        if (reader.TokenType is not (JsonTokenType.StartObject or JsonTokenType.StartArray))
        {
            return false;
        }

        for (int i = 0; reader.Read() && reader.TokenType is not (JsonTokenType.EndObject or JsonTokenType.EndArray); i++)
        {
            bool here = reader.TokenType == JsonTokenType.PropertyName ? step is string name && reader.ValueTextEquals(name) : step is int number && number == i;
            if (reader.TokenType == JsonTokenType.PropertyName)
            {
                reader.Read();
            }

            if (here)
            {
                return true;
            }

            reader.Skip();
        }

        return false;
    }
}
