using System.Net;

namespace SyncBench.Service.Settings;

/// <summary>Where the page is served and to whom.</summary>
/// <param name="Address">Of this machine; loopback unless a token is set.</param>
/// <param name="Names">Host names under which browsers may ask for the page, beside localhost and the address itself.</param>
/// <param name="TokenFile">Holds the access token; the page then asks for it as a password.</param>
internal sealed record PageSettings(
    string Address = "127.0.0.1", int Port = PageSettings.UsualPort, string[]? Names = null, string? TokenFile = null)
{
    internal const int UsualPort = 8470;

    internal IPAddress ParsedAddress => IPAddress.Parse(Address);
}
