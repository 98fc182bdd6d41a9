using System.Collections.Immutable;
using Serilog;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Selection;
using SyncBench.Timeline;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Pipeline;

/// <summary>The whole way of one dump, from a folder of files to timeline and report: this list, and nothing flows back.</summary>
public sealed class DumpRun(ILogger log, TimeProvider clock)
{
    /// <exception cref="RunRefusedException">The dump holds nothing to work on; no result was written.</exception>
    public async Task<DumpResult> RunAsync(
        RunRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        DumpListing listing = DumpFolder.List(request.DumpFolder);
        log.Information(
            "Dump {Dump}: {Files} files, {Ignored} hidden or system files passed over",
            listing.Root, listing.Files.Length, listing.Ignored);

        long began = clock.GetTimestamp();
        void Took(string stage)
        {
            log.Information("{Stage} took {Seconds:0.00} s", stage, clock.GetElapsedTime(began).TotalSeconds);
            began = clock.GetTimestamp();
        }

        Probed probed = await FileProbing.ProbeAsync(listing, progress, cancellation);
        if (probed.HoldsNothing)
        {
            throw new RunRefusedException(
                $"{request.DumpFolder}: none of its {listing.Files.Length} files is a recording. Check that this is the dump.",
                wrongUsage: false);
        }

        Took("Probing");
        ImmutableArray<Clip> clips = RoleRules.Assign(probed.Media, request.Settings);
        string scratch = Directory.CreateTempSubdirectory("syncbench-").FullName;
        try
        {
            ImmutableArray<ReadClip> read = await new SoundIntake(scratch).ReadAsync(clips, progress, cancellation);
            using var stores = new Stores(read);
            Took("Reading sound");
            AlignmentResult aligned = Align(read, request.Settings, progress, cancellation);
            Took("Aligning");
            ImmutableArray<FileOutcome> files = Outcomes(listing, probed, aligned, read);
            ImmutableArray<TakeSound> takes = ChooseMics(files, read, progress, cancellation);
            Took("Choosing mics");
            var result = new DumpResult(
                listing.Name, listing.Root, clock.GetLocalNow(), files, aligned.Clocks, takes);
            Log(result);
            TimelineModel timeline = TimelineBuilder.Build(result);
            ImmutableArray<DialogueSound> dialogues = await new DialogueRenderer(scratch).RenderAsync(
                result.Takes, timeline,
                new DirectProgress<double>(share => progress?.Report(new StageProgress(Stage.RenderDialogue, string.Empty, share))),
                cancellation);
            using var tracks = new Dialogues(dialogues);
            result = result with
            {
                Takes = [.. result.Takes.Zip(dialogues, (take, dialogue) =>
                    take with { Loudness = take.Loudness with { File = dialogue.Loudness } })],
            };
            Took("Rendering dialogue");
            progress?.Report(new StageProgress(Stage.Write, string.Empty, 0));
            ResultWriter.Write(request.Output, result, timeline, dialogues);
            progress?.Report(new StageProgress(Stage.Write, string.Empty, 1));
            Took("Writing");
            return result;
        }
        finally
        {
            Directory.Delete(scratch, recursive: true);
        }
    }

    private AlignmentResult Align(
        ImmutableArray<ReadClip> read, DumpSettings settings, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        HeardClip[] heard = [.. read.Where(clip => clip.Heard is not null).Select(clip => clip.Heard!)];
        progress?.Report(new StageProgress(Stage.Align, string.Empty, 0));
        AlignmentResult aligned = new Aligner(settings.Certainty).Align(
            heard, new DirectProgress<double>(share => progress?.Report(new StageProgress(Stage.Align, string.Empty, share))), cancellation);
        foreach (DeviceClock device in aligned.Clocks)
        {
            log.Information(
                "{Device} runs {Ppm:0.00} ± {Error:0.00} ppm against the reference", device.Device.Name, device.Ppm, device.StandardErrorPpm);
        }

        return aligned;
    }

    private static ImmutableArray<FileOutcome> Outcomes(
        DumpListing listing, Probed probed, AlignmentResult aligned, ImmutableArray<ReadClip> read)
    {
        var byFile = aligned.Clips.ToDictionary(clip => clip.Clip.File);
        var problems = read.Where(clip => clip.Problem is not null).ToDictionary(clip => clip.Clip.File, clip => clip.Problem!);
        var clipOf = read.ToDictionary(clip => clip.Clip.File, clip => clip.Clip);
        return [.. listing.Files.Select(file =>
        {
            if (probed.Without.TryGetValue(file, out FileOutcome? without))
            {
                return without;
            }

            string? damage = problems.GetValueOrDefault(file);
            return byFile.TryGetValue(file, out ClipOutcome? clip)
                ? new FileOutcome(file, clip.Clip, clip.Outcome, clip.Placement, clip.Reason, damage ?? clip.Damage, clip.Timecode)
                : new FileOutcome(file, clipOf[file], Outcome.SetAside, null, "it has no sound", damage);
        })];
    }

    private static ImmutableArray<TakeSound> ChooseMics(
        ImmutableArray<FileOutcome> files, ImmutableArray<ReadClip> read, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        Placement[] placed = [.. files.Where(file => file.Outcome == Outcome.Placed).Select(file => file.Placement!)];
        ImmutableArray<Take> takes = TakeBuilder.Build(placed);
        var sound = read.Where(clip => clip.Sound is not null).ToDictionary(clip => clip.Clip, clip => clip.Sound!);
        var chosen = ImmutableArray.CreateBuilder<TakeSound>();
        foreach (Take take in takes)
        {
            cancellation.ThrowIfCancellationRequested();
            progress?.Report(new StageProgress(Stage.ChooseMics, take.Name, (double)chosen.Count / takes.Length));
            TakeSound heard = MicSelector.Choose(take, clip => sound[clip]);
            chosen.Add(heard with { Loudness = LoudnessOfTake.Measure(heard, clip => sound[clip]) });
        }

        return chosen.ToImmutable();
    }

    private void Log(DumpResult result)
    {
        foreach (FileOutcome file in result.Files)
        {
            log.Information("{File}: {Outcome}, {Reason}", file.File.Path, file.Outcome, file.Reason);
            if (file.Clip?.Media.NotesProblem is { } problem)
            {
                log.Warning("{File}: {Problem}", file.File.Path, problem);
            }
        }
    }

    private sealed class Dialogues(ImmutableArray<DialogueSound> dialogues) : IDisposable
    {
        public void Dispose()
        {
            foreach (DialogueSound dialogue in dialogues)
            {
                dialogue.Dispose();
            }
        }
    }

    private sealed class Stores(ImmutableArray<ReadClip> read) : IDisposable
    {
        public void Dispose()
        {
            foreach (ReadClip clip in read)
            {
                clip.Heard?.Sound.Dispose();
            }
        }
    }
}
