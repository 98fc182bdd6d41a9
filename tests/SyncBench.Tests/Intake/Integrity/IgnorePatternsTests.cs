using SyncBench.Intake.Integrity;

namespace SyncBench.Tests.Intake.Integrity;

/// <summary>Rules of gitignore's manual, which ASC MHL 1.0 (appendix C) takes over.</summary>
public class IgnorePatternsTests
{
    [Theory]
    [InlineData(".DS_Store", "CAM_A/.DS_Store", true)]
    [InlineData("ascmhl/", "ascmhl/0001.mhl", true)]
    [InlineData("ascmhl/", "ascmhl", false)]
    [InlineData("*.tmp", "CAM_A/a.tmp", true)]
    [InlineData("*.tmp", "CAM_A/a.tmp2", false)]
    [InlineData("/CAM_A/*.xml", "CAM_A/a.xml", true)]
    [InlineData("/CAM_A/*.xml", "CAM_A/CLIP/a.xml", false)]
    [InlineData("CLIP/*.xml", "CAM_A/CLIP/a.xml", false)]
    [InlineData("**/CLIP/*.xml", "CAM_A/CLIP/a.xml", true)]
    [InlineData("CAM_A/**", "CAM_A/CLIP/a.xml", true)]
    [InlineData("A00?.MP4", "A001.MP4", true)]
    [InlineData("# notes", "# notes", false)]
    [InlineData("(a+)+$", "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa!", false)]
    public void OnePattern(string pattern, string path, bool ignores) =>
        Assert.Equal(ignores, new IgnorePatterns([pattern]).Ignores(path));

    [Fact]
    public void TheLastPatternThatMatches_Decides()
    {
        var patterns = new IgnorePatterns(["*.xml", "!keep.xml"]);

        Assert.True(patterns.Ignores("a.xml"));
        Assert.False(patterns.Ignores("keep.xml"));
    }
}
