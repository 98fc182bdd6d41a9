using System.Collections.Concurrent;

namespace SyncBench.Scenes;

/// <summary>A room with six flat walls that all swallow the same share of sound at every frequency.</summary>
/// <remarks>
/// J. B. Allen, D. A. Berkley, "Image method for efficiently simulating small-room acoustics", J. Acoust. Soc. Am.
/// 65(4), 1979: every reflection is a talker mirrored in the walls, heard over its own straight line. Pulses fall
/// between samples by <see cref="WindowedSinc"/> (P. M. Peterson, J. Acoust. Soc. Am. 80(5), 1986), not on the nearest.
/// All pulses have one sign, so the tail has too much below about 50 Hz, where speech has nothing; reverberation is
/// measured in octaves (ISO 3382-2) and not over the whole band for that reason.
/// </remarks>
public sealed class ShoeboxRoom
{
    private const double HistogramSeconds = 0.004;

    /// <summary>More reflections than any path within a second or two has, in a room for people.</summary>
    private const int MaxOrder = 1024;

    private static readonly WindowedSinc Pulse = new();
    private static readonly ConcurrentDictionary<(Point, double), double> Reflections = new();

    private readonly ConcurrentDictionary<(Point, Point, PickupPattern), Lazy<Convolver>> _paths = new();

    /// <param name="size">The corner opposite the origin: length, width and height in metres.</param>
    /// <param name="rt60">Seconds in which reverberation falls by 60 dB; 0 is a room without echo.</param>
    public ShoeboxRoom(Point size, double rt60)
    {
        Size = size;
        Rt60 = rt60;
        Reflection = rt60 <= 0 ? 0 : Reflections.GetOrAdd((size, rt60), key => ReflectionFor(key.Item1, key.Item2));
    }

    public Point Size { get; }

    public double Rt60 { get; }

    /// <summary>Pressure that a wall gives back.</summary>
    public double Reflection { get; }

    /// <summary>The way from a mouth to a microphone, computed once.</summary>
    public Convolver Path(Point talker, Point mic, PickupPattern pattern) => _paths.GetOrAdd(
        (talker, mic, pattern),
        key => new Lazy<Convolver>(() => new Convolver(Response(key.Item1, key.Item2, key.Item3)))).Value;

    /// <exception cref="ArgumentOutOfRangeException">A point is not inside the room.</exception>
    public ImpulseResponse Response(Point talker, Point mic, PickupPattern pattern)
    {
        RequireInside(talker);
        RequireInside(mic);
        double direct = talker.DistanceTo(mic);
        double reach = direct + (Math.Max(Rt60, 0) * Air.SpeedOfSound);
        double samplesPerMetre = Air.SampleRateHz / Air.SpeedOfSound;
        int lead = Pulse.Taps;
        var samples = new float[lead + (int)(reach * samplesPerMetre) + Pulse.Taps];
        var powers = new double[MaxOrder];
        for (int order = 0; order < powers.Length; order++)
        {
            powers[order] = order == 0 ? 1 : powers[order - 1] * Reflection;
        }

        VisitImages(Size, talker, mic, Reflection > 0 ? reach : direct + 1e-9, (image, order, distance) =>
        {
            double gain = powers[order] * pattern.Gain(mic, image) / distance;
            if (gain != 0)
            {
                Pulse.AddPulse(samples, lead + (distance * samplesPerMetre), gain);
            }
        });
        return new ImpulseResponse(samples, lead, direct * samplesPerMetre, pattern.Gain(mic, talker) / direct);
    }

    /// <summary>Every mirrored talker within reach, with its count of reflections and its distance.</summary>
    private static void VisitImages(Point size, Point talker, Point mic, double reach, Action<Point, int, double> visit)
    {
        List<(double At, int Order)> xs = Axis(size.X, talker.X, mic.X, reach);
        List<(double At, int Order)> ys = Axis(size.Y, talker.Y, mic.Y, reach);
        List<(double At, int Order)> zs = Axis(size.Z, talker.Z, mic.Z, reach);
        double limit = reach * reach;
        foreach ((double x, int orderX) in xs)
        {
            double squaredX = (x - mic.X) * (x - mic.X);
            foreach ((double y, int orderY) in ys)
            {
                double squaredXy = squaredX + ((y - mic.Y) * (y - mic.Y));
                if (squaredXy > limit)
                {
                    continue;
                }

                foreach ((double z, int orderZ) in zs)
                {
                    double squared = squaredXy + ((z - mic.Z) * (z - mic.Z));
                    if (squared <= limit)
                    {
                        visit(new Point(x, y, z), orderX + orderY + orderZ, Math.Sqrt(squared));
                    }
                }
            }
        }
    }

    /// <summary>
    /// Allen and Berkley's (1 − 2q)·s + 2·m·L: mirrored |m − q| times in the wall at 0 and |m| times in that at L.
    /// </summary>
    private static List<(double At, int Order)> Axis(double length, double talker, double mic, double reach)
    {
        var images = new List<(double At, int Order)>();
        int most = (int)Math.Ceiling(reach / (2 * length)) + 1;
        for (int m = -most; m <= most; m++)
        {
            for (int q = 0; q <= 1; q++)
            {
                double at = ((1 - (2 * q)) * talker) + (2 * m * length);
                if (Math.Abs(at - mic) <= reach)
                {
                    images.Add((at, Math.Abs(m - q) + Math.Abs(m)));
                }
            }
        }

        return images;
    }

    /// <summary>
    /// The reflection with which the mirrored talkers themselves decay as asked, found by halving from Eyring's
    /// formula outwards. Eyring alone would ring longer: in a box the paths along its length meet few walls.
    /// </summary>
    /// <remarks>
    /// C. F. Eyring, J. Acoust. Soc. Am. 1, 1930: T = (24·ln 10/c)·V/(−S·ln β²). Decay of image energy as in
    /// E. A. Lehmann, A. M. Johansson, J. Acoust. Soc. Am. 124(1), 2008 (from memory).
    /// </remarks>
    private static double ReflectionFor(Point size, double rt60)
    {
        double volume = size.X * size.Y * size.Z;
        double surface = 2 * ((size.X * size.Y) + (size.X * size.Z) + (size.Y * size.Z));
        double eyring = Math.Exp(-24 * Math.Log(10) / Air.SpeedOfSound * volume / (2 * surface * rt60));

        // Two places off every plane of symmetry, a few metres apart, stand for all.
        var talker = new Point(size.X * 0.31, size.Y * 0.43, size.Z * 0.41);
        var mic = new Point(size.X * 0.68, size.Y * 0.61, size.Z * 0.53);
        int bins = (int)(rt60 / HistogramSeconds) + 1;
        var energy = new double[bins, MaxOrder]; // by time of arrival and count of reflections
        int highest = 0;
        VisitImages(size, talker, mic, rt60 * Air.SpeedOfSound, (_, order, distance) =>
        {
            energy[(int)(distance / Air.SpeedOfSound / HistogramSeconds), order] += 1 / (distance * distance);
            highest = Math.Max(highest, order);
        });

        double low = eyring * eyring * eyring, high = Math.Pow(eyring, 1.0 / 3);
        for (int round = 0; round < 30; round++)
        {
            double middle = (low + high) / 2;
            var decay = new double[bins];
            for (int bin = 0; bin < bins; bin++)
            {
                double power = 1;
                for (int order = 0; order <= highest; order++, power *= middle * middle)
                {
                    decay[bin] += energy[bin, order] * power;
                }
            }

            double seconds = Decay.Seconds(decay, HistogramSeconds);
            (low, high) = seconds < rt60 ? (middle, high) : (low, middle);
        }

        return (low + high) / 2;
    }

    private void RequireInside(Point point)
    {
        if (point.X <= 0 || point.Y <= 0 || point.Z <= 0 || point.X >= Size.X || point.Y >= Size.Y || point.Z >= Size.Z)
        {
            throw new ArgumentOutOfRangeException(nameof(point), point, $"Not inside a room of {Size}.");
        }
    }
}
