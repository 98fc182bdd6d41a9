using SyncBench.Intake;
using SyncBench.Service.Settings;
using SyncBench.Tests.Support;

namespace SyncBench.Service.Tests;

/// <summary>The service's settings, by docs/service.schema.json (JSON Schema draft 2020-12; JsonSchema.Net judges by it) and by the program.</summary>
public sealed class SettingsTests : IDisposable
{
    private const string Needed = "\"state\": \"state\", \"watch\": [ { \"folder\": \"drop\", \"out\": \"results\" } ]";

    private static readonly DocumentedSettings Schema = new("docs/service.schema.json");

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>By the serializer's own account of the records that settings are read into.</summary>
    [Fact]
    public void EverySettingOfTheCode_IsInTheSchema_AndNoOther()
    {
        Assert.Equal(DocumentedSettings.OfCode(typeof(ServiceSettings)), Schema.Settings);
        Assert.Contains("/watch/folder needed", Schema.Settings);
    }

    [Fact]
    public void TheCommentedExample_IsTakenByBoth()
    {
        string file = Repository.File("docs/service.example.json");

        Assert.True(Schema.Allows(File.ReadAllText(file)));
        ServiceSettings settings = ServiceSettings.Load(file);
        Assert.Equal("/media/results/day 2", Assert.Single(settings.Watch).OutputOf("/media/dumps/day 2"));
        Assert.Equal(2, settings.Jobs);
        Assert.True(File.Exists(Path.Combine(Path.GetDirectoryName(file)!, settings.Schema!)));
    }

    [Fact]
    public void TheExampleOfTheGuide_IsTakenByBoth()
    {
        string guide = File.ReadAllText(Repository.File("docs/service.md")).Split("```json")[1].Split("```")[0];

        Assert.True(Schema.Allows(guide));
        Assert.Equal("/media/dumps", Assert.Single(Load(guide).Watch).Folder);
    }

    [Fact]
    public async Task ATokenMadeAsTheGuideSays_IsLongEnough()
    {
        const string Make = "openssl rand -base64 24";
        Assert.Contains($"`{Make}`", File.ReadAllText(Repository.File("docs/service.md")), StringComparison.Ordinal);
        await File.WriteAllTextAsync(_folder.File("token"), await Tool.OutputAsync("openssl", Make.Split(' ')[1..]));

        Assert.Equal(32, Load($"{{ {Needed}, \"page\": {{ \"address\": \"0.0.0.0\", \"token_file\": \"token\" }} }}").Token!.Length);
    }

    [Theory]
    [InlineData(Needed + ", \"jobs_at_once\": 0")]
    [InlineData(Needed + ", \"jobs_at_once\": 1.5")]
    [InlineData(Needed + ", \"poll_s\": 0")]
    [InlineData(Needed + ", \"retry_after_s\": 4000")]
    [InlineData(Needed + ", \"page\": { \"port\": 70000 }")]
    [InlineData(Needed + ", \"page\": { \"names\": [ null ] }")]
    [InlineData(Needed + ", \"pages\": {}")]
    [InlineData("\"state\": \"state\", \"watch\": []")]
    [InlineData("\"state\": \"state\", \"watch\": [ null ]")]
    [InlineData("\"state\": \"state\", \"watch\": [ { \"folder\": \"drop\" } ]")]
    [InlineData("\"state\": \"state\", \"watch\": [ { \"folder\": \"drop\", \"out\": \"results\", \"quiet_s\": -1 } ]")]
    [InlineData("\"watch\": [ { \"folder\": \"drop\", \"out\": \"results\" } ]")]
    public void WhatIsWrong_IsRefusedByBoth(string settings)
    {
        Assert.False(Schema.Allows($"{{ {settings} }}"));
        Assert.Throws<SettingsException>(() => Load($"{{ {settings} }}"));
    }

    [Theory]
    [InlineData(Needed + ",\n \"jobs_at_once\": 65", 4)]
    [InlineData(Needed + ",\n \"page\": {\n \"port\": -1 }", 5)]
    [InlineData(Needed + ",\n \"page\": {\n \"address\": \"0.0.0.0\" }", 5)]
    [InlineData(Needed + ",\n \"page\": {\n \"address\": \"tallowick\" }", 5)]
    [InlineData(Needed + ",\n \"page\": { \"names\": [\n null ] }", 5)]
    [InlineData(Needed + ",\n \"page\": {\n \"token_file\": \"nowhere\" }", 5)]
    [InlineData(Needed + ",\n \"page\": {\n \"token_file\": \"to\\u0000ken\" }", 5)]
    [InlineData("\"state\": \"sta\\u0000te\",\n \"watch\": [ { \"folder\": \"drop\", \"out\": \"results\" } ]", 3)]
    [InlineData("\"state\": \"state\", \"watch\": [ { \"folder\": \"drop\",\n \"out\": \"res\\u0000ults\" } ]", 4)]
    [InlineData("\"state\": \"state\", \"watch\": [\n { \"folder\": \"dr\\u0000op\", \"out\": \"results\" } ]", 4)]
    [InlineData(Needed + ",\n \"database\": \"where?\"", 4)]
    [InlineData(Needed + ",\n \"jobs\": 1", 4)]
    [InlineData("\"state\": \"state\",\n \"watch\": []", 4)]
    [InlineData("\"state\": \"state\",\n \"watch\": [\n null ]", 5)]
    [InlineData("\"state\": \"drop/state\", \"watch\": [\n { \"folder\": \"drop\", \"out\": \"results\" } ]", 4)]
    [InlineData("\"state\": \"state\", \"watch\": [ { \"folder\": \"drop\",\n \"out\": \"drop/results\" } ]", 4)]
    [InlineData("\"state\": \"state\", \"watch\": [ { \"folder\": \"a\", \"out\": \"b/c\" },\n { \"folder\": \"b\", \"out\": \"d\" } ]", 3)]
    [InlineData("\"state\": \"state\", \"watch\": [ { \"folder\": \"a\", \"out\": \"b\" },\n { \"folder\": \"a\", \"out\": \"c\" } ]", 4)]
    [InlineData("\"state\": \"state\", \"watch\": [ { \"folder\": \"a\", \"out\": \"b\" },\n { \"folder\": \"c\",\n \"out\": \"b\" } ]", 5)]
    public void AMistake_IsNamedByItsLine(string settings, int line)
    {
        SettingsException wrong = Assert.Throws<SettingsException>(() => Load("// the service\n{\n" + settings + "\n}"));

        Assert.Contains(FormattableString.Invariant($"line {line}"), wrong.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', wrong.Message);
    }

    /// <summary>One for every two cores, as far as half of the memory has 600 MB for each (docs/service.md).</summary>
    [Theory]
    [InlineData(1, 1, 1)]
    [InlineData(2, 64, 1)]
    [InlineData(8, 16, 4)]
    [InlineData(8, 2, 1)]
    [InlineData(16, 8, 6)]
    [InlineData(256, 1024, 64)]
    public void CoresAndMemory_SetHowManyDumpsAreSyncedAtOnce(int cores, long gigabytes, int jobs) =>
        Assert.Equal(jobs, UsualJobs.Of(cores, gigabytes << 30));

    [Fact]
    public void WithoutTheSetting_ItIsByThisMachine_AndTheSettingWins()
    {
        Assert.Equal(UsualJobs.OfThisMachine, Load($"{{ {Needed} }}").Jobs);
        Assert.Equal(63, Load($"{{ {Needed}, \"jobs_at_once\": 63 }}").Jobs);
    }

    private ServiceSettings Load(string text)
    {
        File.WriteAllText(_folder.File("service.json"), text);
        return ServiceSettings.Load(_folder.File("service.json"));
    }
}
