using System.Net;
using System.Net.Sockets;
using System.Text;

namespace SyncBench.Service.Tests;

public sealed class HostileRequestTests : IAsyncLifetime, IDisposable
{
    private const string Injected = "<img src=x onerror=alert(1)>";

    private readonly ServiceProcess _service = new();

    public async Task InitializeAsync()
    {
        Directory.CreateDirectory(Path.Combine(_service.Drop, Injected));
        await File.WriteAllTextAsync(Path.Combine(_service.Drop, Injected, "note.txt"), "no recording");
        await _service.StartAsync();
        await _service.UntilAsync(Injected, "failed");
    }

    public Task DisposeAsync() => Task.CompletedTask;

    public void Dispose() => _service.Dispose();

    [Fact]
    public async Task TheWholeGate_Holds()
    {
        string address = await _service.AddressOfAsync(Injected);
        string host = _service.Page.BaseAddress!.Authority;

        // Names are text.
        Assert.DoesNotContain("<img", await _service.Page.GetStringAsync("/"), StringComparison.Ordinal);
        Assert.DoesNotContain("<img", await _service.Page.GetStringAsync(address), StringComparison.Ordinal);

        // Another site's name for this address (DNS rebinding), or its forms.
        Assert.Equal(421, await StatusAsync("GET / HTTP/1.1\r\nHost: evil.example\r\n"));
        Assert.Equal(403, await StatusAsync($"POST {address}/rerun HTTP/1.1\r\nHost: {host}\r\nContent-Length: 0\r\n"));
        Assert.Equal(403, await StatusAsync(
            $"POST {address}/rerun HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 7\r\n", "proof=0"));
        string proof = (await _service.Page.GetStringAsync(address)).Split("name=\"proof\" value=\"")[1].Split('"')[0];
        string form = $"proof={proof}";
        string post = $"POST {address}/rerun HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {form.Length}\r\n";
        Assert.Equal(403, await StatusAsync(post + "Origin: https://evil.example\r\n", form));
        Assert.Equal(303, await StatusAsync(post + $"Origin: http://{host}\r\n", form));

        // Out of the results' folder.
        await File.WriteAllTextAsync(_service.HomeFile("secret.json"), "{}");
        Directory.CreateDirectory(Path.Combine(_service.Results, Injected));
        File.CreateSymbolicLink(Path.Combine(_service.Results, Injected, "link.json"), _service.HomeFile("secret.json"));
        foreach (string path in new[]
        {
            "../../secret.json", "..%2f..%2fsecret.json", "%2e%2e/%2e%2e/secret.json", "..%5c..%5csecret.json", "link.json",
            _service.HomeFile("secret.json"), "/" + _service.HomeFile("secret.json"),
        })
        {
            int status = await StatusAsync($"GET {address}/results/{path} HTTP/1.1\r\nHost: {host}\r\n");
            Assert.True(status is 404 or 400, $"{path}: {status}");
        }

        // RFC 6585, section 5: 431 where the header fields are too large.
        Assert.Equal(431, await StatusAsync($"GET / HTTP/1.1\r\nHost: {host}\r\nX-Long: {new string('x', 100_000)}\r\n"));
    }

    /// <summary>Byte by byte: a client library would repair what is hostile about the request.</summary>
    private async Task<int> StatusAsync(string head, string body = "")
    {
        using var client = new TcpClient();
        await client.ConnectAsync(IPAddress.Loopback, _service.Page.BaseAddress!.Port);
        await using NetworkStream stream = client.GetStream();
        await stream.WriteAsync(Encoding.UTF8.GetBytes($"{head}Connection: close\r\n\r\n{body}"));
        using var reader = new StreamReader(stream);
        string status = await reader.ReadLineAsync() ?? string.Empty;
        return int.Parse(status.Split(' ')[1], System.Globalization.CultureInfo.InvariantCulture);
    }
}
