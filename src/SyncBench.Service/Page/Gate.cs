using System.Net;
using System.Text;
using Microsoft.Extensions.Primitives;
using SyncBench.Service.Settings;

namespace SyncBench.Service.Page;

/// <summary>Whom the page answers: requests for its own names only, from its own pages where they change something, with the token where one is set.</summary>
internal sealed class Gate(ServiceSettings settings, Proof proof)
{
    private readonly HashSet<string> _names = new(
        ["localhost", "127.0.0.1", "[::1]", settings.Page.Address, $"[{settings.Page.Address}]", .. settings.Page.Names ?? []], StringComparer.OrdinalIgnoreCase);

    /// <summary>Passes a request on, or answers it.</summary>
    internal async Task CheckAsync(HttpContext context, RequestDelegate next)
    {
        IHeaderDictionary headers = context.Response.Headers;
        headers.ContentSecurityPolicy =
            "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "same-origin";
        headers.CacheControl = "no-store";

        if (!_names.Contains(context.Request.Host.Host))
        {
            await RefuseAsync(context, HttpStatusCode.MisdirectedRequest, "This host name is not served here. An administrator can add it to names in the settings.");
        }
        else if (settings.Token is { } token && !HasToken(context.Request, token))
        {
            headers.WWWAuthenticate = "Basic realm=\"SyncBench\", charset=\"UTF-8\"";
            await RefuseAsync(context, HttpStatusCode.Unauthorized, "The access token is needed, as the password; any user name will do.");
        }
        else if (!HttpMethods.IsGet(context.Request.Method) && !HttpMethods.IsHead(context.Request.Method) && !await IsFromPageAsync(context.Request))
        {
            await RefuseAsync(context, HttpStatusCode.Forbidden, "This did not come from the page itself, or the page is old: open it again.");
        }
        else
        {
            await next(context);
        }
    }

    private async Task<bool> IsFromPageAsync(HttpRequest request)
    {
        StringValues origin = request.Headers.Origin;
        bool same = origin.Count == 0
            || (Uri.TryCreate(origin.ToString(), UriKind.Absolute, out Uri? from)
                && string.Equals(from.Authority, request.Host.Value, StringComparison.OrdinalIgnoreCase));
        return same && request.HasFormContentType && proof.Is((await request.ReadFormAsync())["proof"]);
    }

    private static bool HasToken(HttpRequest request, string token)
    {
        string given = request.Headers.Authorization.ToString();
        if (given.StartsWith("Bearer ", StringComparison.OrdinalIgnoreCase))
        {
            return SameSecret.Are(given["Bearer ".Length..].Trim(), token);
        }

        var bytes = new byte[given.Length];
        if (!given.StartsWith("Basic ", StringComparison.OrdinalIgnoreCase)
            || !Convert.TryFromBase64String(given["Basic ".Length..].Trim(), bytes, out int count))
        {
            return false;
        }

        string pair = Encoding.UTF8.GetString(bytes.AsSpan(0, count));
        return SameSecret.Are(pair[(pair.IndexOf(':', StringComparison.Ordinal) + 1)..], token);
    }

    private static async Task RefuseAsync(HttpContext context, HttpStatusCode code, string words)
    {
        context.Response.StatusCode = (int)code;
        context.Response.ContentType = "text/plain; charset=utf-8";
        await context.Response.WriteAsync(words + "\n");
    }
}
