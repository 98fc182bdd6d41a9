using System.Globalization;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using OpenTelemetry.Metrics;
using Quartz;
using Serilog;
using SyncBench.Service.Jobs;
using SyncBench.Service.Page;
using SyncBench.Service.Settings;
using SyncBench.Service.Watching;

namespace SyncBench.Service;

/// <summary>The service put together: state folder, job engine, watch, page.</summary>
internal static class WatchService
{
    /// <summary>A clean stop is over within it: what does not end by then is begun again at the next start.</summary>
    private static readonly TimeSpan LongestStop = TimeSpan.FromSeconds(8);

    private const int MostConnections = 200;
    private const int LargestBody = 64 << 10;
    private const int LargestHeaders = 16 << 10;

    /// <summary>Until the process is told to stop.</summary>
    internal static async Task RunAsync(ServiceSettings settings)
    {
        using StateFolder state = StateFolder.Open(settings.State);
        const int KeptLogs = 5;
        const long LargestLog = 16L << 20;
        Log.Logger = new LoggerConfiguration()
            .MinimumLevel.Override("Microsoft", Serilog.Events.LogEventLevel.Warning)
            .MinimumLevel.Override("Quartz", Serilog.Events.LogEventLevel.Warning)
            .WriteTo.File(
                state.LogFile, formatProvider: CultureInfo.InvariantCulture, fileSizeLimitBytes: LargestLog,
                rollOnFileSizeLimit: true, retainedFileCountLimit: KeptLogs)
            .CreateLogger();
        try
        {
            await using WebApplication app = Build(settings, state);
            await app.Services.GetRequiredService<Database>().PrepareAsync(async () =>
            {
                app.Services.GetRequiredService<DumpStore>().Prepare();
                await app.Services.GetRequiredService<ISchedulerFactory>().GetScheduler();
            });
            app.Services.GetRequiredService<ServiceMetrics>();
            await app.StartAsync();
            string address = app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First();
            Log.Information(
                "The service watches {Folders}, syncs at most {Jobs} at once, its page is {Address}",
                settings.Watch.Select(watch => watch.Folder), settings.Jobs, address);
            await Console.Out.WriteLineAsync($"page {address}");
            await app.WaitForShutdownAsync();
            Log.Information("The service has stopped");
        }
        finally
        {
            await Log.CloseAndFlushAsync();
        }
    }

    private static WebApplication Build(ServiceSettings settings, StateFolder state)
    {
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory });
        builder.Logging.AddSerilog();
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxConcurrentConnections = MostConnections;
            kestrel.Limits.MaxRequestBodySize = LargestBody;
            kestrel.Limits.MaxRequestHeadersTotalSize = LargestHeaders;
            kestrel.Listen(settings.Page.ParsedAddress, settings.Page.Port);
        });
        IServiceCollection services = builder.Services;
        services.AddRoutingCore();
        services.AddSingleton(TimeProvider.System).AddSingleton(settings).AddSingleton(state);
        services.AddSingleton(ScratchFolder.Open(state.FullPath));
        Database database = Database.Of(settings, state);
        services.AddSingleton(_ => database).AddSingleton<DumpStore>();
        services.AddSingleton<Arrivals>().AddSingleton<Proof>().AddSingleton<Gate>().AddSingleton<News>().AddSingleton<Pages>();
        services.AddMetrics().AddSingleton<ServiceMetrics>();
        services.AddOpenTelemetry().WithMetrics(metrics => metrics.AddMeter(ServiceMetrics.MeterName).AddPrometheusExporter());
        services.Configure<HostOptions>(options => options.ShutdownTimeout = LongestStop);
        services.AddQuartz(engine =>
        {
            engine.UseDefaultThreadPool(settings.Jobs);
            engine.UsePersistentStore(database.KeepJobs);
            engine.ConfigureScheduler(database.ShareJobs);
        });
        services.AddQuartzHostedService(options => options.WaitForJobsToComplete = true);
        services.AddSingleton<KeptFolders>().AddHostedService(all => all.GetRequiredService<KeptFolders>());
        services.AddHostedService<DumpWatch>();

        WebApplication app = builder.Build();
        Gate gate = app.Services.GetRequiredService<Gate>();
        app.Use(next => context => gate.CheckAsync(context, next));
        app.Use(DatabaseAway.AnswerAsync);
        app.UseRouting();
        app.Services.GetRequiredService<Pages>().Map(app);
        app.MapPrometheusScrapingEndpoint();
        return app;
    }
}
