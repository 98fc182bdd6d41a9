namespace SyncBench.Selection;

/// <summary>Lines of values, one a step. Hours of them take megabytes, so they are made in one piece.</summary>
internal static class Steps
{
    public static T[] Of<T>(int count, Func<int, T> of)
    {
        var values = new T[count];
        for (int step = 0; step < count; step++)
        {
            values[step] = of(step);
        }

        return values;
    }
}
