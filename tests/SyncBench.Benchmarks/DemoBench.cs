using System.Globalization;
using CsvHelper;
using SyncBench.Scenes;

namespace SyncBench.Benchmarks;

/// <summary>How far the program's placements of the demo dump lie from the truth beside it.</summary>
internal static class DemoBench
{
    internal static async Task<int> RunAsync()
    {
        SyncedDemo demo = await SyncedDemo.MakeAsync();
        Dictionary<string, Dictionary<string, string>> rows = Rows(Path.Combine(await demo.ResultsAsync(), "clips.csv"));

        Console.WriteLine("file                          start error ms   rate error ppm");
        foreach (TrueFile file in demo.Truth.Files.Where(file => file.SoundAlignedStartS is not null))
        {
            Dictionary<string, string> row = rows[file.File];
            double start = Number(row["start_s"]) - file.SoundAlignedStartS!.Value;
            double rate = Number(row["rate_ppm"]) - demo.Truth.Devices.Single(d => d.Name == file.Device).RatePpm;
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture, $"{file.File,-28}  {start * 1000,14:+0.0000;-0.0000}   {rate,14:+0.0000;-0.0000}"));
        }

        return 0;
    }

    private static Dictionary<string, Dictionary<string, string>> Rows(string path)
    {
        using CsvReader reader = CsvReader.FromFile(path);
        return reader.GetRecords<CsvDynamicRecord>()
            .Select(row => row.ToDictionary(cell => cell.Key, cell => cell.Value ?? string.Empty))
            .ToDictionary(row => row["file"]);
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
