using ArchUnitNET.Domain;
using ArchUnitNET.Loader;
using ArchUnitNET.xUnit;
using SyncBench.Time;
using static ArchUnitNET.Fluent.ArchRuleDefinition;

namespace SyncBench.Tests;

/// <summary>The folders of the library are its stages, in the order in which data flows.</summary>
public class ArchitectureTests
{
    private static readonly string[] Stages =
        ["Time", "Signal", "Media", "Intake", "Alignment", "Selection", "Timeline", "Reporting", "Pipeline"];

    private static readonly Architecture Library = new ArchLoader().LoadAssembly(typeof(MediaTime).Assembly).Build();

    public static TheoryData<string, string> EveryStageAndOneAfterIt()
    {
        var pairs = new TheoryData<string, string>();
        for (int stage = 0; stage < Stages.Length; stage++)
        {
            foreach (string later in Stages[(stage + 1)..])
            {
                pairs.Add(Stages[stage], later);
            }
        }

        return pairs;
    }

    [Theory]
    [MemberData(nameof(EveryStageAndOneAfterIt))]
    public void AFolder_UsesNoFolderAfterIt(string stage, string later) =>
        Types().That().ResideInNamespaceMatching($"^SyncBench\\.{stage}(\\..*)?$")
            .Should().NotDependOnAny(Types().That().ResideInNamespaceMatching($"^SyncBench\\.{later}(\\..*)?$"))
            .Because($"data flows from {stage} to {later}, never back")
            .WithoutRequiringPositiveResults()
            .Check(Library);

    [Fact]
    public void EveryType_LiesInAFolderOfAStage()
    {
        string[] homeless =
        [
            .. Library.Types
                .Where(type => type.Assembly.Name.StartsWith("SyncBench", StringComparison.Ordinal))
                .Select(type => type.FullName)
                .Where(name => name.StartsWith("SyncBench.", StringComparison.Ordinal)
                    && !Stages.Contains(name.Split('.')[1], StringComparer.Ordinal)),
        ];

        Assert.Empty(homeless);
    }
}
