using System.Runtime.InteropServices;

namespace SyncBench.Benchmarks;

/// <summary>
/// FFTW 3 in single precision, the yardstick for our transform; GPL, so it serves this project alone.
/// API: FFTW 3.3.10 manual, section 4.3.3: real samples to an interleaved half spectrum, its usual and quickest form.
/// </summary>
internal sealed unsafe partial class Fftw : IDisposable
{
    public const string Library = "libfftw3f.so.3";

    public const string DebianPackage = "libfftw3-single3";

    private const uint Estimate = 1 << 6;

    private readonly float* _samples, _spectrum;
    private readonly nint _plan;

    public Fftw(int size)
    {
        _samples = Allocate((nuint)size * sizeof(float));
        _spectrum = Allocate((nuint)(size + 2) * sizeof(float));
        new Span<float>(_samples, size).Fill(1);
        _plan = PlanReal(size, _samples, _spectrum, Estimate);
        if (_plan == 0)
        {
            throw new InvalidOperationException($"FFTW made no plan for size {size}.");
        }
    }

    public static bool IsInstalled
    {
        get
        {
            if (!NativeLibrary.TryLoad(Library, out nint handle))
            {
                return false;
            }

            NativeLibrary.Free(handle);
            return true;
        }
    }

    public Span<float> Samples(int size) => new(_samples, size);

    public void Forward() => Execute(_plan);

    public void Dispose()
    {
        DestroyPlan(_plan);
        Release(_samples);
        Release(_spectrum);
    }

    [LibraryImport(Library, EntryPoint = "fftwf_malloc")]
    private static partial float* Allocate(nuint bytes);

    [LibraryImport(Library, EntryPoint = "fftwf_free")]
    private static partial void Release(float* memory);

    [LibraryImport(Library, EntryPoint = "fftwf_plan_dft_r2c_1d")]
    private static partial nint PlanReal(int size, float* samples, float* spectrum, uint flags);

    [LibraryImport(Library, EntryPoint = "fftwf_execute")]
    private static partial void Execute(nint plan);

    [LibraryImport(Library, EntryPoint = "fftwf_destroy_plan")]
    private static partial void DestroyPlan(nint plan);
}
