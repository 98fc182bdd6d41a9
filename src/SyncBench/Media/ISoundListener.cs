namespace SyncBench.Media;

/// <summary>Something that wants a clip's sound. All listeners of a clip are fed by one decode.</summary>
public interface ISoundListener
{
    /// <summary>Whether it wants <see cref="SoundBlock.Analysis"/>, which is empty where no listener does.</summary>
    bool HearsAnalysis => true;

    void Hear(SoundBlock block);

    /// <summary>The sound is over; called once, after the last block.</summary>
    void Finish();
}
