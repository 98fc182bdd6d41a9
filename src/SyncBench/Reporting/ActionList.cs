using System.Collections.Immutable;
using System.Globalization;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Selection;
using SyncBench.Time;

namespace SyncBench.Reporting;

/// <summary>What a producer has to know within ten seconds.</summary>
internal enum Asked
{
    IsItHere,
    IsItInSync,
    MustItBeRecordedAgain,
}

/// <summary>Something that a person has to look at.</summary>
/// <param name="Asks">The question that it speaks against.</param>
/// <param name="Decides">Whether it makes the answer a no; else it is a remark.</param>
/// <param name="What">What is wrong, in a few words.</param>
/// <param name="Where">Files, devices or stretches it holds for.</param>
/// <param name="Do">What to do about it.</param>
internal sealed record ReportAction(Asked Asks, bool Decides, string What, ImmutableArray<string> Where, string Do);

/// <summary>What to act on first, the most urgent on top; empty where nothing needs a person.</summary>
internal static class ActionList
{
    /// <summary>Crystals of cameras and recorders are within ±50 ppm as a rule (common practice): two may be this far apart.</summary>
    private const double UsualPpm = 100;

    /// <summary>About the shortest stretch that costs a sentence.</summary>
    private static readonly MediaTime LongWithoutSound = MediaTime.FromSeconds(2);

    internal static ImmutableArray<ReportAction> Of(DumpResult result)
    {
        ReportAction[] all =
        [
            new(
                Asked.IsItHere, true, "Files that cannot be read", Named(result, file => file.Outcome == Outcome.Unreadable),
                "Copy them from the card again and compare the sizes. If a file still cannot be read, play it in the device that made it before the card is wiped."),
            .. IntakeActions.Of(result.Findings),
            new(
                Asked.MustItBeRecordedAgain, true, "Stretches in which every mic has a fault", [.. result.Takes.SelectMany(WithoutSound)],
                "Listen to them while crew and subject are still there. If the words matter, record them again."),
            new(
                Asked.IsItHere, true, "Files whose sound is damaged",
                [.. result.Files.Where(file => file.Damage is not null).Select(file => $"{file.File.Path}: {file.Damage}")],
                "Copy them from the card again. If the damage is on the card, listen to what is there before the card is wiped."),
            new(
                Asked.IsItInSync, true, "Files to check by ear", Named(result, file => file.Outcome == Outcome.CheckByEar),
                "Listen to each beside the device named. The best guess is in sync.json; it was left off the timeline."),
            new(
                Asked.IsItInSync, true, "Files placed with low certainty", [.. result.Files.Where(IsUnsure).Select(Unsure)],
                "Look at a consonant or a clap early and late in each of them before the cut is built on it."),
            new(
                Asked.IsItInSync, false, "Clocks further apart than is usual", [.. result.Clocks.Where(IsUnusual).Select(Unusual)],
                "The placement is corrected for it. Look whether the device was set to another sample rate or frame rate than the others."),
            new(
                Asked.IsItInSync, false, "Timecode that contradicts the sound",
                [.. result.Files.Where(file => file.Timecode is { Agrees: false }).Select(file => $"{file.File.Path}: {file.Timecode!.InWords()}")],
                "The placement follows the sound. Look at a clap or a consonant in each of them. Where picture and sound agree, the timecode is wrong: look how the device is set before the next day."),
            new(
                Asked.IsItInSync, false, "Devices whose timecode was not set with the others",
                [.. result.Clocks.Where(clock => clock.Timecode is not null).Select(NotSet)],
                "The placement follows the sound, so nothing is lost. Whoever syncs by timecode has to take this off. Set all devices to one source before the next day."),
            new(
                Asked.IsItInSync, true, "Nothing rolls together", result.Takes.IsEmpty && result.Files.Any(file => file.Clip is not null) ? ["the whole dump"] : [],
                "No camera shares sound with another device. Look whether a card is missing, or whether the sound inputs were switched off."),
        ];
        return [.. all.Where(action => !action.Where.IsEmpty)];
    }

    private static ImmutableArray<string> Named(DumpResult result, Func<FileOutcome, bool> counts) =>
        [.. result.Files.Where(counts).Select(file => $"{file.File.Path}: {file.Reason}")];

    private static IEnumerable<string> WithoutSound(TakeSound sound) => EveryMicFaulty.Of(sound)
        .Where(range => range.Duration >= LongWithoutSound)
        .Select(range => $"{sound.Take.Name}, {Figures.Clock(range.Start - sound.Take.CommonRange.Start)} to "
            + $"{Figures.Clock(range.End - sound.Take.CommonRange.Start)} from its start ({Figures.Length(range.Duration)})");

    private static bool IsUnsure(FileOutcome file) =>
        file is { Outcome: Outcome.Placed, Placement.Certainty: < DumpSettings.UsualCertainty };

    private static string Unsure(FileOutcome file) => $"{file.File.Path}: {Figures.Percent(file.Placement!.Certainty)}";

    private static string NotSet(DeviceClock clock) =>
        $"{clock.Device.Name}: its timecode is {TimecodeCheck.Frames(clock.Timecode!.Off, clock.Timecode.FrameRate)} "
        + $"against {clock.Timecode.Against.Device.Name}'s {clock.Timecode.AgainstClock.InWords()}, the same in all its clips or nearly all";

    private static bool IsUnusual(DeviceClock clock) => !clock.IsReference && Math.Abs(clock.Ppm) > UsualPpm;

    private static string Unusual(DeviceClock clock) => string.Create(
        CultureInfo.InvariantCulture,
        $"{clock.Device.Name}: {Figures.Signed(clock.Ppm, 1)} ppm, {Figures.Magnitude(clock.Ppm * 3.6, 0)} ms an hour");
}
