using System.Text.Json;
using SyncBench.Service.Jobs;
using SyncBench.Service.Watching;

namespace SyncBench.Service.Page;

/// <summary>Server-sent events: what every open page needs to keep up. Written by the HTML standard, section 9.2.</summary>
internal sealed class News(DumpStore store, Arrivals arrivals, IHostApplicationLifetime service)
{
    private const int MostListeners = 32;
    private static readonly TimeSpan Rhythm = TimeSpan.FromSeconds(1);

    private int _listeners;

    internal async Task SendAsync(HttpContext context)
    {
        if (Interlocked.Increment(ref _listeners) > MostListeners)
        {
            Interlocked.Decrement(ref _listeners);
            context.Response.StatusCode = StatusCodes.Status503ServiceUnavailable;
            return;
        }

        context.Response.ContentType = "text/event-stream";
        using var over = CancellationTokenSource.CreateLinkedTokenSource(context.RequestAborted, service.ApplicationStopping);
        try
        {
            await FollowAsync(context.Response, over.Token);
        }
        catch (OperationCanceledException)
        {
            return; // the page was closed, or the service stops
        }
        finally
        {
            Interlocked.Decrement(ref _listeners);
        }
    }

    private async Task FollowAsync(HttpResponse response, CancellationToken over)
    {
        using var timer = new PeriodicTimer(Rhythm);
        string last = string.Empty;
        do
        {
            string now = Line();
            // A comment line where there is nothing new: it finds out whether the page is still there.
            await response.WriteAsync(now == last ? ":\n\n" : $"data: {now}\n\n", over);
            await response.Body.FlushAsync(over);
            last = now;
        }
        while (await timer.WaitForNextTickAsync(over));
    }

    private string Line()
    {
        DumpRecord[] dumps = store.All();
        return JsonSerializer.Serialize(new
        {
            shape = PageFrame.ShapeOf(dumps, arrivals.Now),
            dumps = dumps.Where(dump => dump.IsActive).Select(dump => new { id = dump.Id, progress = DumpWords.Progress(dump), share = dump.Progress.Share }),
        });
    }
}
