using System.Diagnostics;
using System.Net;
using System.Text;

namespace SyncBench.Service.Tests;

public sealed class TokenTests
{
    [Fact]
    public async Task BeyondLoopback_ItStartsWithATokenOnly()
    {
        using var open = new ServiceProcess(", \"address\": \"0.0.0.0\"");
        using Process refused = Process.Start(ServiceProcess.Command("--settings", open.SettingsFile))!;
        string error = await refused.StandardError.ReadToEndAsync();
        await refused.WaitForExitAsync();

        Assert.Equal(2, refused.ExitCode);
        Assert.Contains("without a token", error, StringComparison.Ordinal);

        using var guarded = new ServiceProcess(", \"token_file\": \"token\"");
        const string token = "tallowick-ropewalk-0123456789";
        await File.WriteAllTextAsync(guarded.HomeFile("token"), token + "\n");
        await guarded.StartAsync();
        Assert.Equal(HttpStatusCode.Unauthorized, (await guarded.Page.GetAsync(new Uri("/", UriKind.Relative))).StatusCode);
        guarded.Page.DefaultRequestHeaders.Authorization = new("Basic", Convert.ToBase64String(Encoding.UTF8.GetBytes("tom:" + token)));
        Assert.Equal(HttpStatusCode.OK, (await guarded.Page.GetAsync(new Uri("/", UriKind.Relative))).StatusCode);
    }
}
