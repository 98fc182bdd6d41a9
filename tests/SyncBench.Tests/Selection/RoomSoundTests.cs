using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;
using Xunit.Abstractions;

namespace SyncBench.Tests.Selection;

public class RoomSoundTests(ITestOutputHelper output)
{
    /// <summary>The truth is the energy of the room's response as it was built: what arrives straight over all reflections.</summary>
    [Fact]
    public async Task TheMicsOfTheInterview_StandInTheOrderOfTheirRoomSound()
    {
        (MicRole Role, Microphone Mic, double SnrDb)[] mics =
            [(MicRole.Lavalier, Ropewalk.Lavalier, 32), (MicRole.Shotgun, Ropewalk.Shotgun, 26), (MicRole.Scratch, Ropewalk.Scratch, 20)];
        var take = new TestTake();
        foreach ((MicRole role, Microphone mic, double snrDb) in mics)
        {
            take.Clip(mic.Name, DeviceKind.Camera, 0, (role, await Ropewalk.HearAsync(mic, snrDb)));
        }

        TakeSound sound = take.Choose(0, 30);
        RoomSound[] judged = [.. mics.Select(mic => Assert.Single(sound.Rooms, room => room.Source.Clip.Device.Name == mic.Mic.Name))];
        double[] built = [.. mics.Select(mic => Ropewalk.DirectToReverberantDb(mic.Mic))];
        foreach ((RoomSound room, double truth) in judged.Zip(built))
        {
            output.WriteLine(FormattableString.Invariant($"{room.Source.Clip.Device.Name}: {room.InWords()}, built {truth:0.0} dB"));
        }

        Assert.Equal(built.OrderDescending(), built);
        Assert.Equal(judged.OrderByDescending(room => room.DirectToReverberantDb), judged);
        Assert.All(judged.Zip(built), pair => Assert.Equal(pair.Second, pair.First.DirectToReverberantDb, 5.0));
        Assert.Equal((built[0] < RoomSound.RoomyDb, built[2] < RoomSound.RoomyDb), (judged[0].IsRoomy, judged[2].IsRoomy));
    }

    [Fact]
    public async Task HowLoudAMicIsSet_SaysNothingOfTheRoom()
    {
        float[] close = await Ropewalk.HearAsync(Ropewalk.Lavalier, 32), far = await Ropewalk.HearAsync(Ropewalk.Scratch, 20);
        double[] ratios = [.. new[] { -10.0, 0, 10 }.Select(gainDb => Scratch(close, TestSound.Gain(far, gainDb)))];
        output.WriteLine(string.Join(", ", ratios.Select(ratio => FormattableString.Invariant($"{ratio:0.0} dB"))));
        Assert.All(ratios, ratio => Assert.Equal(ratios[1], ratio, 0.5));

        static double Scratch(float[] close, float[] far) =>
            new TestTake()
                .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, close))
                .Clip("CAM_B", DeviceKind.Camera, 0, (MicRole.Scratch, far))
                .Choose(0, 60).Rooms.Single(room => room.Source.Mic.Role == MicRole.Scratch).DirectToReverberantDb;
    }

    [Fact]
    public void MoreOfTheRoom_IsHeardAsMore()
    {
        float[] dry = TestSound.Speech(60, seed: 3, gain: 0.1f);
        double[] ratios = [.. new[] { 0f, 0.2f, 0.6f }.Select(reflections => Ratio(TestSound.InRoom(dry, seed: 8, reflections))!.Value)];
        output.WriteLine(string.Join(", ", ratios.Select(ratio => FormattableString.Invariant($"{ratio:0.0} dB"))));
        Assert.Equal(ratios.OrderDescending(), ratios);
        Assert.True(ratios[0] > ratios[2] + 3);
    }

    [Fact]
    public void NoiseAlone_TellsNothingOfTheRoom() =>
        Assert.Null(Ratio(new float[60 * TestSound.Rate]));

    private static double? Ratio(float[] samples)
    {
        TakeSound sound = new TestTake()
            .Clip("RECORDER", DeviceKind.Recorder, 0, (MicRole.Lavalier, TestSound.Sum(samples, TestSound.Pink(60, seed: 4, gain: 0.0005f))))
            .Choose(0, 60);
        return sound.Rooms.SingleOrDefault()?.DirectToReverberantDb;
    }
}
