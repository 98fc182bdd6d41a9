using System.Collections.Immutable;
using SyncBench.Alignment;
using SyncBench.Media;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>What lets eye and ear judge a placement: a consonant of the take as the reference and another clip heard it.</summary>
/// <param name="CommonAt">The consonant, on the common clock.</param>
/// <param name="ReferenceWave"><see cref="SyncProofs.Shown"/> around it, at the analysis rate.</param>
/// <param name="ClipWave">The same of the clip, where its placement puts it.</param>
/// <param name="Sound">MP3 of some seconds around it, the reference in the left ear and the clip in the right; empty where none could be made.</param>
public sealed record SyncProof(
    Take Take, MediaFile Reference, Placement Clip, MediaTime CommonAt,
    ImmutableArray<float> ReferenceWave, ImmutableArray<float> ClipWave, ImmutableArray<byte> Sound);
