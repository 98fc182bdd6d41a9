using System.Globalization;
using SyncBench.Time;

namespace SyncBench.Alignment;

/// <summary>Says where a clip's clock jumps, for the person who has to listen there.</summary>
internal static class JumpWords
{
    internal static string? Of(Placement placement) => placement.Map.Jumps.IsEmpty
        ? null
        : $"its clock jumps: {string.Join(", ", placement.Map.Jumps.Select(Of))}. Sound and picture are set right after it; listen and look there.";

    private static string Of(ClockJump jump)
    {
        long tenths = jump.At.ToUnitFloor(new Rate(10));
        string what = jump.Lost > MediaTime.Zero ? "of sound are missing" : "of sound come twice";
        return string.Create(
            CultureInfo.InvariantCulture, $"{Math.Abs(jump.Lost.ToMilliseconds()):0.0} ms {what} {ClockText.Of(tenths / 10)}.{tenths % 10} into the file");
    }
}
