using SyncBench.Intake;
using SyncBench.Tests.Support;

namespace SyncBench.Tests.Intake;

public sealed class SettlingTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();
    private readonly HandClock _clock = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void ADumpThatStaysForTheQuietTime_IsStill()
    {
        File.WriteAllText(_folder.File("a.mov"), "one");
        Settling settling = Watch();

        Assert.False(settling.Look().IsStill);
        _clock.Pass(TimeSpan.FromSeconds(29));
        Assert.False(settling.Look().IsStill);
        _clock.Pass(TimeSpan.FromSeconds(1));
        Assert.True(settling.Look().IsStill);
    }

    [Fact]
    public void AFileThatGrowsOrComes_BeginsTheQuietTimeAnew()
    {
        File.WriteAllText(_folder.File("a.mov"), "one");
        Settling settling = Watch();
        settling.Look();
        foreach (string name in new[] { "a.mov", "b.mov" })
        {
            _clock.Pass(TimeSpan.FromSeconds(30));
            File.AppendAllText(_folder.File(name), "more");

            Assert.False(settling.Look().IsStill);
        }

        _clock.Pass(TimeSpan.FromSeconds(30));
        Assert.True(settling.Look().IsStill);
    }

    [Theory]
    [InlineData("a.mov.part")]
    [InlineData("a.TMP")]
    public void AFileNamedAsCopiesGoingOnAre_IsWaitedFor(string name)
    {
        File.WriteAllText(_folder.File(name), "one");
        Settling settling = Watch();
        settling.Look();
        _clock.Pass(TimeSpan.FromMinutes(5));

        SettlingState state = settling.Look();

        Assert.False(state.IsStill);
        Assert.Contains(name, state.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void AFileOpenForWriting_IsWaitedFor()
    {
        Settling settling = Watch();
        using (FileStream open = File.Create(_folder.File("a.mov")))
        {
            settling.Look();
            _clock.Pass(TimeSpan.FromMinutes(5));

            Assert.Equal((false, "a.mov is open for writing"), (settling.Look().IsStill, settling.Look().Reason));
        }

        using FileStream reading = File.OpenRead(_folder.File("a.mov"));
        Assert.True(settling.Look().IsStill);
    }

    [Fact]
    public void AFolderWithoutFilesOrNotThere_IsNotStill()
    {
        Assert.False(Watch().Look().IsStill);
        Assert.False(new Settling(_folder.File("gone"), TimeSpan.Zero, _clock).Look().IsStill);
    }

    private Settling Watch() => new(_folder.Path, TimeSpan.FromSeconds(30), _clock);

    private sealed class HandClock : TimeProvider
    {
        private long _ticks;

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public override long GetTimestamp() => _ticks;

        internal void Pass(TimeSpan time) => _ticks += time.Ticks;
    }
}
