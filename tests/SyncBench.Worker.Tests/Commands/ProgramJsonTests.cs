using System.Text.Json;
using SyncBench.Scenes;

namespace SyncBench.Worker.Tests.Commands;

/// <summary>What <c>--json</c> prints: one document and nothing else, whatever comes of it.</summary>
public sealed class ProgramJsonTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("syncbench-test-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task EachCommand_AnswersAProgram()
    {
        await RecordAsync("dump/RECORDER/R001.WAV");
        await File.WriteAllTextAsync(In("dump/RECORDER/R002.WAV"), "broken off");

        JsonElement probe = await JsonOfAsync(3, "probe", In("dump"));
        JsonElement[] files = [.. probe.GetProperty("files").EnumerateArray()];
        Assert.Equal(["RECORDER/R001.WAV", "RECORDER/R002.WAV"], files.Select(file => file.GetProperty("path").GetString()));
        Assert.Equal(4, files[0].GetProperty("media").GetProperty("duration_s").GetDouble());
        Assert.Equal(JsonValueKind.Null, files[1].GetProperty("media").ValueKind);
        Assert.NotEmpty(files[1].GetProperty("problem").GetString()!);

        JsonElement run = Assert.Single((await JsonOfAsync(3, "run", In("dump"), "--out", In("out"))).GetProperty("runs").EnumerateArray());
        Assert.Equal("RECORDER/R002.WAV", Assert.Single(run.GetProperty("look_at").EnumerateArray()).GetProperty("path").GetString());
        Assert.True(run.GetProperty("needs_a_person").GetBoolean());
        Assert.All(run.GetProperty("results").EnumerateArray(), name => Assert.True(File.Exists(In($"out/{name.GetString()}"))));

        JsonElement verify = await JsonOfAsync(0, "verify", In("dump"), "--out", In("sums"));
        Assert.True(File.Exists(Assert.Single(verify.GetProperty("manifests").EnumerateArray()).GetString()));
        File.Delete(In("dump/RECORDER/R002.WAV"));
        verify = await JsonOfAsync(3, "verify", In("dump"), "--out", In("sums"));
        Assert.Equal(["verified", "missing"], verify.GetProperty("files").EnumerateArray().Select(file => file.GetProperty("check").GetString()));

        Assert.Equal(0.999, (await JsonOfAsync(0, "settings")).GetProperty("certainty").GetDouble());
    }

    [Fact]
    public async Task WhatCannotBeDone_IsSaidBesideIt()
    {
        Answer answer = await SyncBenchProgram.RunAsync("probe", In("gone"), "--json");

        Assert.Equal(2, answer.ExitCode);
        Assert.Empty(answer.Output);
        Assert.Contains("no such file", Assert.Single(answer.ErrorLines), StringComparison.Ordinal);
    }

    private static async Task<JsonElement> JsonOfAsync(int exitCode, params string[] arguments)
    {
        Answer answer = await SyncBenchProgram.RunAsync(arguments[0] == "settings" ? arguments : [.. arguments, "--json"]);
        Assert.Equal(exitCode, answer.ExitCode);
        Assert.Empty(answer.Error);
        using JsonDocument document = JsonDocument.Parse(answer.Output);
        return document.RootElement.Clone();
    }

    private async Task RecordAsync(string file)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(In(file))!);
        await ExternalTool.RunAsync(
            "ffmpeg", ["-v", "error", "-f", "lavfi", "-i", "anoisesrc=d=4:r=48000:seed=5:a=0.1", "-c:a", "pcm_s16le", In(file)], feed: null, CancellationToken.None);
    }

    private string In(string name) => Path.Combine(_folder, name);
}
