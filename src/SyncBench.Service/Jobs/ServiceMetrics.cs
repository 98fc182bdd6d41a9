using System.Diagnostics.Metrics;
using SyncBench.Pipeline;

namespace SyncBench.Service.Jobs;

/// <summary>Figures for whoever watches the service. Named by the semantic conventions of OpenTelemetry: seconds, snake case in tags.</summary>
internal sealed class ServiceMetrics
{
    internal const string MeterName = "SyncBench";

    private readonly Counter<long> _runs;
    private readonly Histogram<double> _stages;

    public ServiceMetrics(IMeterFactory meters, DumpStore store)
    {
        Meter meter = meters.Create(MeterName);
        meter.CreateObservableGauge("syncbench.dumps", () => ByState(store), description: "Dumps in each state.");
        _runs = meter.CreateCounter<long>("syncbench.runs", description: "Runs that ended since the start of the service, by how.");
        _stages = meter.CreateHistogram(
            "syncbench.stage.duration", "s", "How long the stages of runs took.", null,
            new InstrumentAdvice<double> { HistogramBucketBoundaries = [1, 5, 15, 60, 300, 900, 3600, 14_400] });
    }

    internal void RunEnded(DumpState state) => _runs.Add(1, State(state));

    internal void StageEnded(Stage stage, TimeSpan took) => _stages.Record(took.TotalSeconds, new KeyValuePair<string, object?>("stage", InTag(stage.ToString())));

    /// <summary>Every state, at 0 too: a line that is not there cannot be told from a service that is not there.</summary>
    private static Measurement<int>[] ByState(DumpStore store)
    {
        ILookup<DumpState, DumpRecord> dumps = store.All().ToLookup(dump => dump.State);
        return [.. Enum.GetValues<DumpState>().Select(state => new Measurement<int>(dumps[state].Count(), State(state)))];
    }

    private static KeyValuePair<string, object?> State(DumpState state) => new("state", InTag(state.ToString()));

    private static string InTag(string name) => System.Text.Json.JsonNamingPolicy.SnakeCaseLower.ConvertName(name);
}
