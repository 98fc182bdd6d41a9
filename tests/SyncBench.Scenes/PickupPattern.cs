namespace SyncBench.Scenes;

/// <summary>
/// How much of a sound a microphone takes by its direction: first order, share + (1 − share)·cos θ from the axis.
/// </summary>
/// <param name="Share">1 hears all round, 0.5 is a cardioid, 0.37 a supercardioid (common practice).</param>
/// <param name="Aim">A point on the axis, in front.</param>
public sealed record PickupPattern(double Share, Point Aim)
{
    public static PickupPattern AllRound { get; } = new(1, default);

    public static PickupPattern Supercardioid(Point aim) => new(0.37, aim);

    /// <summary>Gain for sound that comes from <paramref name="from"/> to a microphone at <paramref name="at"/>.</summary>
    public double Gain(Point at, Point from)
    {
        if (Share >= 1)
        {
            return 1;
        }

        double along = ((Aim.X - at.X) * (from.X - at.X)) + ((Aim.Y - at.Y) * (from.Y - at.Y))
            + ((Aim.Z - at.Z) * (from.Z - at.Z));
        return Share + ((1 - Share) * along / (at.DistanceTo(Aim) * at.DistanceTo(from)));
    }
}
