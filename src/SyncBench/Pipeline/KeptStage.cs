using System.Text.Json;

namespace SyncBench.Pipeline;

/// <summary>A stage whose outcome is worked out once and then kept, for as long as what it is made from stays the same.</summary>
internal static class KeptStage
{
    private const string Ending = ".stage";

    /// <param name="kept">Null where nothing is to be kept.</param>
    /// <param name="madeFrom">All that the outcome depends on.</param>
    internal static T Once<T>(KeptFolder? kept, string stage, object[] madeFrom, JsonSerializerOptions format, Func<T> work)
        where T : class
    {
        if (kept is null)
        {
            return work();
        }

        string path = kept.PathOf(stage, madeFrom) + Ending;
        if (kept.Find(path, _ => StageJson.Read<T>(path, format)) is { } before)
        {
            return before;
        }

        T outcome = work();
        StageJson.Write(path, outcome, format);
        return outcome;
    }
}
