namespace SyncBench.Scenes;

/// <summary>A place in the room, in metres from the corner where the walls and the floor meet.</summary>
public readonly record struct Point(double X, double Y, double Z)
{
    /// <summary>The straight line to <paramref name="other"/>, in metres.</summary>
    public double DistanceTo(Point other)
    {
        (double x, double y, double z) = (other.X - X, other.Y - Y, other.Z - Z);
        return Math.Sqrt((x * x) + (y * y) + (z * z));
    }
}
