using System.Globalization;

namespace SyncBench.Tests.Support;

/// <summary>Another culture for as long as this lives.</summary>
internal sealed class Culture : IDisposable
{
    private readonly CultureInfo _before = CultureInfo.CurrentCulture;

    private Culture(string name) => CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo(name);

    /// <summary>A comma in numbers, points between thousands.</summary>
    public static Culture German() => new("de-DE");

    public void Dispose() => CultureInfo.CurrentCulture = _before;
}
