using System.Globalization;
using System.Text;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Reporting;

public class CultureTests
{
    [Theory]
    [InlineData("de-DE")]
    [InlineData("ar-SA")]
    [InlineData("sv-SE")]
    public void EveryFile_IsTheSameUnderEveryCulture(string culture)
    {
        byte[][] here = Under(CultureInfo.InvariantCulture), there = Under(CultureInfo.GetCultureInfo(culture));

        Assert.Equal(here, there);
    }

    private static byte[][] Under(CultureInfo culture)
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        CultureInfo.CurrentCulture = culture;
        try
        {
            DumpResult result = ReportExamples.Interview();
            return
            [
                Written.Bytes(result, ClipsCsv.Write), Written.Bytes(result, TakesCsv.Write), Written.Bytes(result, SegmentsCsv.Write),
                Written.Json(result), Encoding.UTF8.GetBytes(Written.Html(result)),
            ];
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }
}
