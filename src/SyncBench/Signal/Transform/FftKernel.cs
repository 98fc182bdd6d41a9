namespace SyncBench.Signal.Transform;

/// <summary>A real transform of one size compiled for one register width. Immutable, so threads may share it.</summary>
internal abstract unsafe class FftKernel
{
    /// <param name="samples">Size floats.</param>
    /// <param name="re">Size/2 + 1 floats, written.</param>
    /// <param name="im">Size/2 + 1 floats, written.</param>
    public abstract void Forward(float* samples, float* re, float* im);

    /// <param name="re">Size/2 + 1 floats.</param>
    /// <param name="im">Size/2 + 1 floats; those of the first and last bin are taken as zero.</param>
    /// <param name="samples">Size floats, written.</param>
    public abstract void Inverse(float* re, float* im, float* samples);
}
