using SyncBench.Selection.Speakers;

namespace SyncBench.Tests.Selection.Speakers;

public class SoftEndsTests
{
    private const Speaking N = Speaking.Neither, S = Speaking.Subject, I = Speaking.Interviewer;

    [Fact]
    public void ALastSyllableThatStaysAudible_BelongsToWhoSpoke() => Assert.Equal(
        [S, S, S, S, S, N, N, N, N, N],
        SoftEnds.Carried([S, S, N, N, N, N, N, N, N, N], [9, 8, 2, 3, 2, 0, 0, 0, 0, 0]));

    [Fact]
    public void AShortStopBeforeIt_IsSpokenThrough() => Assert.Equal(
        [I, I, I, I, I, I, N, N, N, N],
        SoftEnds.Carried([I, I, N, N, N, N, N, N, N, N], [9, 8, 0, 0, 2, 2, 0, 0, 0, 0]));

    [Fact]
    public void SoundAfterALongerStop_IsNot()
    {
        Speaking[] path = [S, N, N, N, N, N, N, N, N, N];
        Assert.Equal(path, SoftEnds.Carried(path, [9, 0, 0, 0, 0, 0, 3, 0, 0, 0]));
    }

    [Fact]
    public void WhatIsHeardWhereNobodySpeaks_IsNoSpeech()
    {
        Speaking[] path = [S, S, N, N, N, N, I, I];
        Assert.Equal(path, SoftEnds.Carried(path, [9, 8, 3, 3, 3, 3, 9, 9]));
    }

    [Fact]
    public void AnEnd_MovesUpToTheNextTalker_ByHalfASecondAtMost_AndWhereNothingIsHeardNotAtAll()
    {
        float[] soft = [9, .. Enumerable.Repeat(3f, 12), .. Enumerable.Repeat(0f, 20)];
        Assert.Equal(1 + 10, SoftEnds.Carried([S, .. Enumerable.Repeat(N, 32)], soft).Count(who => who == S));
        Assert.Equal([S, S, S, I, N, N, N, N], SoftEnds.Carried([S, N, N, I, N, N, N, N], [9, 3, 3, 9, 0, 0, 0, 0]));
        Assert.Equal([S, N, N], SoftEnds.Carried([S, N, N], [float.NaN, float.NaN, float.NaN]));
    }
}
