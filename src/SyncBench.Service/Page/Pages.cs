using System.Collections.Immutable;
using System.Globalization;
using System.Net;
using SyncBench.Intake;
using SyncBench.Reporting;
using SyncBench.Service.Jobs;
using SyncBench.Service.Settings;
using SyncBench.Service.Watching;

namespace SyncBench.Service.Page;

/// <summary>What is served under which address.</summary>
internal sealed class Pages(ServiceSettings settings, StateFolder state, DumpStore store, Arrivals arrivals, Proof proof, News news)
{
    private readonly Lock _oneAtATime = new();

    internal void Map(IEndpointRouteBuilder routes)
    {
        routes.MapGet("/", context => HtmlAsync(context, DumpsPage.Of(store.All(), arrivals.Now, Shape())));
        routes.MapGet("/log", context => HtmlAsync(context, LogPage.Of("Log of the service", state.LogFile, Shape())));
        routes.MapGet("/page.css", context => TextAsync(context, "text/css", PageStyle.Sheet));
        routes.MapGet("/page.js", context => TextAsync(context, "text/javascript", PageScript.Text));
        routes.MapGet("/events", news.SendAsync);
        routes.MapGet("/healthz", HealthAsync);
        routes.MapGet("/dump/{id}", context => WithDumpAsync(context, dump => HtmlAsync(context, Page(dump))));
        routes.MapGet("/dump/{id}/log", context => WithDumpAsync(context, dump => HtmlAsync(
            context, LogPage.Of($"Log of {dump.Name}", OutputOf(dump) is { } output ? Path.Combine(output, DumpJob.LogName) : null, Shape()))));
        routes.MapGet("/dump/{id}/results/{**path}", context => WithDumpAsync(context, dump => FileAsync(context, dump)));
        routes.MapPost("/dump/{id}/rerun", context => WithDumpAsync(context, dump =>
        {
            store.Again(dump, "a person asked for it");
            arrivals.Wake.Release();
            return BackAsync(context, dump);
        }));
        routes.MapGet("/dump/{id}/correct", context => WithDumpAsync(context, dump => BackAsync(context, dump))); // a form that was refused, loaded again
        routes.MapPost("/dump/{id}/correct", context => WithDumpAsync(context, dump => CorrectAsync(context, dump)));
        routes.MapPost("/dump/{id}/cancel", context => WithDumpAsync(context, dump =>
        {
            store.WantCancel(dump.Id);
            return BackAsync(context, dump);
        }));
    }

    private HtmlText Page(DumpRecord dump, string? problem = null)
    {
        if (OutputOf(dump) is not { } output)
        {
            return DumpPage.Of(dump, LastRun.None, hasReport: false, HtmlText.Nothing, proof.Value, Shape());
        }

        LastRun last = LastRun.Load(output);
        ImmutableArray<string> made = [];
        try
        {
            made = Corrections.Load(output).InWords();
        }
        catch (SettingsException wrong)
        {
            problem ??= wrong.Message;
        }

        bool areNew = File.GetLastWriteTimeUtc(Path.Combine(output, Corrections.FileName)) > File.GetLastWriteTimeUtc(Path.Combine(output, "sync.json"));
        return DumpPage.Of(
            dump, last, ResultFile.Find(output, "report/index.html") is not null,
            CorrectionForms.Of(dump, last.Files, made, areNew, proof.Value, problem), proof.Value, Shape());
    }

    private async Task CorrectAsync(HttpContext context, DumpRecord dump)
    {
        try
        {
            string output = OutputOf(dump) ?? throw new SettingsException("its folder is no longer watched");
            lock (_oneAtATime)
            {
                CorrectionForm.Applied(Corrections.Load(output), context.Request.Form, LastRun.Load(output).Files).Save(output);
            }

            await BackAsync(context, dump);
        }
        catch (Exception wrong) when (wrong is SettingsException or IOException or UnauthorizedAccessException)
        {
            context.Response.StatusCode = (int)HttpStatusCode.UnprocessableEntity;
            await HtmlAsync(context, Page(dump, wrong.Message.TrimEnd('.')));
        }
    }

    private async Task WithDumpAsync(HttpContext context, Func<DumpRecord, Task> answer)
    {
        if (store.Find((string)context.Request.RouteValues["id"]!) is { } dump)
        {
            await answer(dump);
        }
        else
        {
            context.Response.StatusCode = (int)HttpStatusCode.NotFound;
            await TextAsync(context, "text/plain", "There is no such dump.\n");
        }
    }

    private async Task FileAsync(HttpContext context, DumpRecord dump)
    {
        string path = (string?)context.Request.RouteValues["path"] ?? string.Empty;
        if (OutputOf(dump) is { } output && ResultFile.Find(output, path) is { } file)
        {
            // The report is one page with its style and sound inside; nothing in it may run, or reach out.
            context.Response.Headers.ContentSecurityPolicy =
                "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' data:; media-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
            await Results.File(file.FullPath, file.ContentType, enableRangeProcessing: true).ExecuteAsync(context);
        }
        else
        {
            context.Response.StatusCode = (int)HttpStatusCode.NotFound;
            await TextAsync(context, "text/plain", "There is no such result.\n");
        }
    }

    private async Task HealthAsync(HttpContext context)
    {
        string[] gone = [.. settings.Watch.Select(watch => watch.Folder).Where(folder => !Directory.Exists(folder))];
        context.Response.StatusCode = (int)(gone.Length == 0 ? HttpStatusCode.OK : HttpStatusCode.ServiceUnavailable);
        await TextAsync(context, "text/plain", gone.Length == 0
            ? string.Create(CultureInfo.InvariantCulture, $"well, {store.All().Length} dumps known\n")
            : $"watched folders cannot be seen: {string.Join(", ", gone)}\n");
    }

    private string? OutputOf(DumpRecord dump) => settings.WatchOf(dump.Folder)?.OutputOf(dump.Folder);

    private string Shape() => PageFrame.ShapeOf(store.All(), arrivals.Now);

    private static Task BackAsync(HttpContext context, DumpRecord dump)
    {
        context.Response.Redirect($"/dump/{dump.Id}");
        context.Response.StatusCode = (int)HttpStatusCode.SeeOther;
        return Task.CompletedTask;
    }

    private static Task HtmlAsync(HttpContext context, HtmlText page) => TextAsync(context, "text/html", page.ToString());

    private static Task TextAsync(HttpContext context, string type, string text)
    {
        context.Response.ContentType = type + "; charset=utf-8";
        return context.Response.WriteAsync(text);
    }
}
