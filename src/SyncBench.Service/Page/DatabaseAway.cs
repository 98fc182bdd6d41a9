using System.Data.Common;
using System.Net;
using Serilog;
using SyncBench.Service.Jobs;

namespace SyncBench.Service.Page;

/// <summary>The page while its database cannot be reached: it says so, and is back when the database is.</summary>
internal static class DatabaseAway
{
    internal static async Task AnswerAsync(HttpContext context, RequestDelegate next)
    {
        try
        {
            await next(context);
        }
        catch (DbException away)
        {
            Log.Warning("The page could not be shown: {Problem:l}", Database.InWords(away));
            if (context.Response.HasStarted)
            {
                context.Abort();
                return;
            }

            context.Response.StatusCode = (int)HttpStatusCode.ServiceUnavailable;
            context.Response.ContentType = "text/plain; charset=utf-8";
            await context.Response.WriteAsync("The database cannot be reached now. Runs go on as soon as it is back; load this page again then.\n");
        }
    }
}
