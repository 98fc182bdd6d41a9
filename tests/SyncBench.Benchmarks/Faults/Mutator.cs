using System.Buffers.Binary;
using System.Text;

namespace SyncBench.Benchmarks.Faults;

/// <summary>Damages real files as cards, cables and ill will do; the same seed gives the same damage.</summary>
internal sealed class Mutator(int seed)
{
    private static readonly uint[] Extremes = [0, 1, 7, 8, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFE, 0xFFFFFFFF, 0xFFFF, 0x10000];

    private static readonly string[] Words =
    [
        "RIFF", "RF64", "WAVE", "fmt ", "data", "ds64", "iXML", "bext", "moov", "mdat", "ftyp", "trak", "elst", "<", ">", "&e;", "<!DOCTYPE x>",
        "../", "\0", "\n", "%s", "9999999999999999999", "-1", "1e999", "NaN", "\"", "{", "[", "]]>", "**/", "\U0001F3A5", "\uFFFE",
    ];

    private readonly Random _random = new(seed);

    internal byte[] Mutate(byte[] file, byte[] other)
    {
        List<byte> bytes = [.. file];
        for (int step = 0, steps = 1 + _random.Next(4); step < steps; step++)
        {
            Damage(bytes, other);
        }

        return [.. bytes];
    }

    private void Damage(List<byte> bytes, byte[] other)
    {
        // Headers are short and decide most, so half of all damage is done to the first 256 bytes.
        int At(int room) => bytes.Count <= room ? 0 : _random.Next(_random.Next(2) == 0 ? Math.Min(256, bytes.Count - room) : bytes.Count - room);
        switch (_random.Next(9))
        {
            case 0 when bytes.Count > 0:
                bytes[At(1)] ^= (byte)(1 << _random.Next(8));
                break;
            case 1 when bytes.Count > 0:
                bytes[At(1)] = (byte)_random.Next(256);
                break;
            case 2 when bytes.Count >= 4:
                Overwrite(bytes, At(4));
                break;
            case 3:
                int end = _random.Next(bytes.Count + 1);
                bytes.RemoveRange(end, bytes.Count - end);
                break;
            case 4 when bytes.Count > 0:
                int from = At(1);
                bytes.RemoveRange(from, Math.Min(_random.Next(64), bytes.Count - from));
                break;
            case 5 when bytes.Count > 0:
                int start = At(1);
                bytes.InsertRange(At(0), bytes.GetRange(start, Math.Min(_random.Next(64), bytes.Count - start)));
                break;
            case 6:
                byte[] noise = new byte[_random.Next(32)];
                _random.NextBytes(noise);
                bytes.InsertRange(At(0), noise);
                break;
            case 7:
                bytes.InsertRange(At(0), Encoding.UTF8.GetBytes(Words[_random.Next(Words.Length)]));
                break;
            default:
                int keep = _random.Next(bytes.Count + 1);
                bytes.RemoveRange(keep, bytes.Count - keep);
                bytes.AddRange(other.AsSpan(_random.Next(other.Length + 1)));
                break;
        }
    }

    private void Overwrite(List<byte> bytes, int at)
    {
        Span<byte> number = stackalloc byte[4];
        uint extreme = Extremes[_random.Next(Extremes.Length)];
        if (_random.Next(2) == 0)
        {
            BinaryPrimitives.WriteUInt32LittleEndian(number, extreme);
        }
        else
        {
            BinaryPrimitives.WriteUInt32BigEndian(number, extreme);
        }

        for (int i = 0; i < 4; i++)
        {
            bytes[at + i] = number[i];
        }
    }
}
