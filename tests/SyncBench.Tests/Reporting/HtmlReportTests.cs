namespace SyncBench.Tests.Reporting;

public class HtmlReportTests
{
    [Fact]
    public void Probe()
    {
        File.WriteAllText("/tmp/r2/report.html", Written.Html(Support.ReportExamples.Interview()));
        File.WriteAllText("/tmp/r2/hostile.html", Written.Html(Support.ReportExamples.Hostile()));
        File.WriteAllText("/tmp/r2/empty.html", Written.Html(Support.ReportExamples.Empty));
        File.WriteAllText("/tmp/r2/unreadable.html", Written.Html(Support.ReportExamples.OnlyUnreadable));
    }
}
