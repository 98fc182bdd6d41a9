namespace SyncBench.Worker.Tests.Docs;

/// <summary>
/// Every kind of <c>scripts/bench</c>, in the shortest form that there is, ends well and prints the rows that the docs cite; how long
/// anything takes is not judged. <c>demo</c> and <c>report</c> are run where the demo is. Left out is what takes a minute to hours: whole
/// corpora, dumps of hours, and of <c>service</c> what WatchTests, ManyMachinesTests and PageTests hold.
/// </summary>
public class BenchmarksTests
{
    internal static readonly string[] Kinds = [.. Rows().Select(row => ((string)row[0]).Split(' ')[0]).Concat(["demo", "report"])];

    public static TheoryData<string, string[]> Rows() => new()
    {
        { "fft --quick", [" 512 ", " 4096 ", " 32768 ", " 65536 ", " 262144 ", " 1048576 "] },
        { "resample", [" 48000 to 16000 Hz: ", " 44100 to 16000 Hz: ", " 96000 to 16000 Hz: "] },
        { "hash --quick", ["cat from memory ", "xxh128 from memory ", "sha1 from memory ", "c4 from memory ", "md5 from memory ", "cat from disk ", "xxh128 from disk "] },
        { "loudness", ["1 of 48 kHz: ", "2 of 48 kHz: "] },
        {
            "faults --inputs 60",
            [
                "WAVE header ", "MP4 and MOV boxes ", "iXML chunk ", "ASC MHL manifest ", "ASC MHL chain ", "ignore patterns ", "settings ", "corrections ",
                "results of the last run ", "numbers in file names ", "probing and decoding ", "all ",
            ]
        },
        { "speed start", ["scripts/syncbench --help: min "] },
        { "answers --quick", ["| looked at: 10 dB below, 10 above, 20 dB SNR | 1 |"] },
        { "selection --quick --tuning", ["| wind | ", "| gain pumping | ", "| faults of a second or more found | >= 95 % | ", "| changes in a pause or within 100 ms of a fault's edge, as found | all | "] },
        { "service many --dumps 1", ["1 dropped at once: 1 done with the same three placements"] },
        { "accuracy --quick --only far", ["| 4 m, RT60 0.8 s, D/R -11.8 dB, 0 dB | 2 |", "| p95 of placement, 0 dB, "] },
    };

    [Theory]
    [MemberData(nameof(Rows))]
    public async Task Prints(string kind, string[] rows)
    {
        Answer answer = await Script.RunAsync("bench", cache: null, kind.Split(' '));

        Assert.True(answer.ExitCode == 0, answer.Error + answer.Output);
        Assert.All(rows, row => Assert.Contains(row, answer.Output, StringComparison.Ordinal));
    }
}
