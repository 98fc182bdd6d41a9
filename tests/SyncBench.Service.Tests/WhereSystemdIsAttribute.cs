namespace SyncBench.Service.Tests;

/// <summary>A fact that is held up where the machine has systemd's tools, and skipped in plain sight where it has not.</summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class WhereSystemdIsAttribute : FactAttribute
{
    internal const string Judge = "/usr/bin/systemd-analyze";

    public WhereSystemdIsAttribute()
    {
        if (!File.Exists(Judge))
        {
            Skip = "this machine has no systemd-analyze";
        }
    }
}
