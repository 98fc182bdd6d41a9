namespace SyncBench.Selection.Speakers;

/// <summary>Carries each stretch of speech on through what is said softly at its end.</summary>
/// <remarks>
/// A last syllable sinks below what tells who speaks long before it is silent. Nobody else has begun, so whatever any mic
/// still hears above its noise is the same talker's.
/// </remarks>
internal static class SoftEnds
{
    /// <summary>Hops by which an end may move, and those without sound that may lie between.</summary>
    private const int Furthest = 10, LongestGap = 4;

    /// <summary>dB above what is heard where nobody speaks.</summary>
    private const float Audible = 1.6f;

    /// <param name="heard">dB above the noise, one a hop; NaN where no mic tells.</param>
    public static Speaking[] Carried(Speaking[] path, float[] heard)
    {
        float quiet = Quiet(path, heard);
        var carried = (Speaking[])path.Clone();
        for (int end = 1; end < path.Length; end++)
        {
            if (path[end] != Speaking.Neither || path[end - 1] == Speaking.Neither)
            {
                continue;
            }

            int last = end;
            for (int hop = end; hop < Math.Min(path.Length, end + Furthest) && path[hop] == Speaking.Neither && hop - last <= LongestGap; hop++)
            {
                last = heard[hop] - quiet >= Audible ? hop + 1 : last;
            }

            Array.Fill(carried, path[end - 1], end, last - end);
        }

        return carried;
    }

    private static float Quiet(Speaking[] path, float[] heard)
    {
        float[] quiet = [.. heard.Where((level, hop) => path[hop] == Speaking.Neither && !float.IsNaN(level)).Order()];
        return quiet.Length == 0 ? 0 : quiet[quiet.Length / 2];
    }
}
