using System.Collections.Immutable;
using System.Text.Json;
using Serilog;
using SyncBench.Alignment;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Reporting;
using SyncBench.Selection;
using SyncBench.Time;
using SyncBench.Timeline;
using SyncBench.Timeline.Dialogue;

namespace SyncBench.Pipeline;

/// <summary>The whole way of one dump, from a folder of files to timeline and report: this list, and nothing flows back.</summary>
public sealed class DumpRun(ILogger log, TimeProvider clock)
{
    private static readonly MediaTime Hour = MediaTime.FromMilliseconds(3_600_000);

    /// <exception cref="RunRefusedException">The dump holds nothing to work on; no result was written.</exception>
    public async Task<DumpResult> RunAsync(
        RunRequest request, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        DumpListing listing = request.Listing ?? DumpFolder.List(request.DumpFolder);
        Corrections corrections = request.Settings.Corrections.And(Corrections.Load(request.Output.FullPath));
        corrections.Check(listing);
        DumpSettings settings = request.Settings with { Corrections = corrections };
        log.Information(
            "Dump {Dump}: {Files} files, {Ignored} hidden or system files passed over",
            listing.Root, listing.Files.Length, listing.Ignored);

        long began = clock.GetTimestamp();
        TimeSpan used = Environment.CpuUsage.TotalTime;
        KeptFolder? kept = request.Kept is { } folder ? new KeptFolder(folder) : null;
        bool isLong = false;
        void Took(string stage)
        {
            if (kept?.HadAll() == true)
            {
                log.Information("{Stage:l} was not done again, an earlier run had done it", stage);
            }
            else
            {
                log.Information(
                    "{Stage:l} took {Seconds:0.00} s, our processor time {Processor:0.00} s",
                    stage, clock.GetElapsedTime(began).TotalSeconds, (Environment.CpuUsage.TotalTime - used).TotalSeconds);
            }

            if (isLong)
            {
                // A stage leaves arrays of megabytes behind, which the collector would keep until it wants the room.
                GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive, blocking: true, compacting: true);
            }

            (began, used) = (clock.GetTimestamp(), Environment.CpuUsage.TotalTime);
        }

        await using var integrity = IntegrityPass.Begin(listing, request.Output, kept, progress, cancellation);
        Probed probed = await FileProbing.ProbeAsync(listing, corrections.LeftOut, kept, progress, cancellation);
        if (probed.HoldsNothing)
        {
            throw new RunRefusedException(
                $"{request.DumpFolder}: none of its {listing.Files.Length} files is a recording. Check that this is the dump.",
                wrongUsage: false);
        }

        Took("Probing");
        ImmutableArray<Clip> clips = RoleRules.Assign(probed.Media, settings);
        isLong = clips.Any(clip => clip.Duration >= Hour);
        string scratch = Directory.CreateTempSubdirectory("syncbench-").FullName;
        try
        {
            using ReadSound sound = await new SoundIntake(scratch, kept).ReadAsync(clips, progress, cancellation);
            await Task.Yield(); // else what has read is still on the stack, and holds on to all of it
            Took("Reading sound");
            await using var pictures = new Beside<ImmutableDictionary<MediaFile, ImmutableArray<byte>>>(
                stop => Thumbnails.ReadAsync(clips, stop), cancellation);
            AlignmentResult aligned = Align(sound.Clips, settings, kept, progress, cancellation);
            Took("Aligning");
            ImmutableArray<FileOutcome> files = Outcomes(listing, probed, aligned, sound.Clips);
            ImmutableArray<TakeSound> takes = ChooseMics(files, sound.Clips, corrections, kept, progress, cancellation);
            sound.KeepSamplesOnly();
            Took("Choosing mics");
            Integrity checksums = await integrity.FinishAsync(probed.RecordingPaths);
            Took("Waiting for the last checksums");
            var result = new DumpResult(
                listing.Name, listing.Root, clock.GetLocalNow(), CopiesChecked(files, probed, checksums), aligned.Clocks, takes)
            {
                Findings = checksums.Findings,
                Checksums = checksums.Xxh128,
            };
            Log(result);
            DumpResult chosen = result;
            await using var proofs = new Beside<ImmutableArray<SyncProof>>(
                stop => SyncProofs.FindAsync(chosen, sound.SamplesOf, stop), cancellation);
            TimelineModel timeline = TimelineBuilder.Build(result, request.Settings.Timeline);
            ImmutableArray<SeparateMic> mics = request.Settings.Timeline.PolyWav
                ? [.. result.Takes.SelectMany(take => SeparateMics.Of(take.Take))] : [];
            Dictionary<MediaFile, string> lost = [];
            progress?.Report(new StageProgress(Stage.RenderDialogue, string.Empty, 0));
            ImmutableArray<DialogueSound> sounds = await new KeptDialogues(kept, scratch).RenderAsync(
                [.. result.Takes, .. mics.Select(mic => mic.Sound)], timeline, lost,
                new DirectProgress<double>(share => progress?.Report(new StageProgress(Stage.RenderDialogue, string.Empty, share))),
                cancellation);
            using var tracks = new Dialogues(sounds);
            ImmutableArray<DialogueSound> dialogues = sounds[..result.Takes.Length];
            result = result with
            {
                Files = [.. result.Files.Select(file => file with { Damage = file.Damage ?? lost.GetValueOrDefault(file.File) })],
                FrameResiduals = timeline.Residuals.ToImmutableDictionary(residual => residual.Clip.File, residual => residual.Worst),
                Takes = [.. result.Takes.Zip(dialogues, (take, dialogue) =>
                    take with { Loudness = take.Loudness with { File = dialogue.Loudness } })],
            };
            Took("Rendering dialogue");
            var media = new ReportMedia(
                await pictures.Result,
                await proofs.Result,
                [.. dialogues.SelectMany(dialogue => DialogueFiles.AroundChanges(dialogue).Select(change => (dialogue.Take, change.Path)))]);
            Took("Waiting for pictures and players of the report");
            progress?.Report(new StageProgress(Stage.Write, string.Empty, 0));
            ResultWriter.Write(
                request.Output, result, request.Settings.Timeline, timeline, dialogues,
                [.. mics.Select(mic => mic.Name).Zip(sounds[result.Takes.Length..])], media);
            progress?.Report(new StageProgress(Stage.Write, string.Empty, 1));
            Took("Writing");
            kept?.Tidy();
            return result;
        }
        finally
        {
            Directory.Delete(scratch, recursive: true);
        }
    }

    private AlignmentResult Align(
        ImmutableArray<ReadClip> read, DumpSettings settings, KeptFolder? kept, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        progress?.Report(new StageProgress(Stage.Align, string.Empty, 0));
        Clip[] clips = [.. read.Select(clip => clip.Clip)];
        AlignmentResult aligned = KeptStage.Once(
            kept, "align", [clips, NotWhole(read), settings.Certainty, settings.Corrections.Placed],
            StageJson.Format(StageJson.Named(clips.Select(clip => clip.File)), StageJson.Named(clips)),
            () => AlignAnew(read, settings, progress, cancellation));
        foreach (DeviceClock device in aligned.Clocks)
        {
            log.Information(
                "{Device} runs {Ppm:0.00} ± {Error:0.00} ppm against the reference", device.Device.Name, device.Ppm, device.StandardErrorPpm);
        }

        return aligned;
    }

    /// <summary>Of the same file another part may be read the next time, so what is made of it depends on how far it went.</summary>
    private static IEnumerable<object[]> NotWhole(ImmutableArray<ReadClip> read) =>
        read.Where(clip => clip.Problem is not null).Select(clip => new object[] { clip.Clip.File, clip.Problem! });

    private static AlignmentResult AlignAnew(
        ImmutableArray<ReadClip> read, DumpSettings settings, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        var byHand = settings.Corrections.Placed.Select(pair => pair.File).ToHashSet(StringComparer.Ordinal);
        HeardClip[] heard = [.. read.Select(clip => clip.Heard).OfType<HeardClip>().Where(clip => !byHand.Contains(clip.Clip.File.Path))];
        AlignmentResult aligned = new Aligner(settings.Certainty).Align(
            heard, new DirectProgress<double>(share => progress?.Report(new StageProgress(Stage.Align, string.Empty, share))), cancellation);
        return HandPlacement.Apply(aligned, [.. read.Select(clip => clip.Clip)], settings.Corrections.Placed);
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

            string? damage = clipOf[file].Media.Damage ?? problems.GetValueOrDefault(file);
            return byFile.TryGetValue(file, out ClipOutcome? clip)
                ? new FileOutcome(file, clip.Clip, clip.Outcome, clip.Placement, clip.Reason, damage ?? clip.Damage, clip.Timecode)
                : new FileOutcome(file, clipOf[file], Outcome.SetAside, null, WithoutSound(clipOf[file], read), damage);
        })];
    }

    /// <summary>Cameras record no sound at intervals and off speed (common practice).</summary>
    private static string WithoutSound(Clip clip, ImmutableArray<ReadClip> read) =>
        !clip.Media.Video.IsEmpty && read.Any(other => other.Clip.Device == clip.Device && other.Heard is not null)
            ? "it has no sound, as other clips of this camera do: a time lapse, slow or fast motion"
            : "it has no sound";

    /// <summary>A file that was set aside as a copy of another, and is not quite, is damaged: it or the other.</summary>
    private static ImmutableArray<FileOutcome> CopiesChecked(ImmutableArray<FileOutcome> files, Probed probed, Integrity checksums) =>
    [
        .. files.Select(file =>
            probed.Copies.TryGetValue(file.File, out MediaFile? first)
            && checksums.Xxh128.TryGetValue(file.File, out string? mine) && checksums.Xxh128.TryGetValue(first, out string? other) && mine != other
                ? file with
                {
                    Damage = $"It has the size of {first.Path} and most of its content, but not all: one of the two is damaged. Compare both with the card.",
                }
                : file),
    ];

    private static ImmutableArray<TakeSound> ChooseMics(
        ImmutableArray<FileOutcome> files, ImmutableArray<ReadClip> read, Corrections corrections,
        KeptFolder? kept, IProgress<StageProgress>? progress, CancellationToken cancellation)
    {
        Placement[] placed = [.. files.Where(file => file.Outcome == Outcome.Placed).Select(file => file.Placement!)];
        ImmutableArray<Take> takes = TakeBuilder.Build(placed);
        MicCorrection[] mics = [.. corrections.Mics.Select(correction => OnThisClock(correction, placed, takes))];
        if (mics.FirstOrDefault(correction => correction.Take > takes.Length) is { } lost)
        {
            throw new SettingsException($"{lost}: there is no such take, the dump has {takes.Length}. Correct the settings, then run again.");
        }

        var sound = read.Where(clip => clip.Sound is not null).ToDictionary(clip => clip.Clip, clip => clip.Sound!);
        JsonSerializerOptions format = StageJson.Format(StageJson.Named(takes), StageJson.Named(placed));
        var chosen = ImmutableArray.CreateBuilder<TakeSound>();
        foreach (Take take in takes)
        {
            cancellation.ThrowIfCancellationRequested();
            progress?.Report(new StageProgress(Stage.ChooseMics, take.Name, (double)chosen.Count / takes.Length));
            int number = chosen.Count + 1;
            MicCorrection[] byHand = [.. mics.Where(correction => correction.Take == number)];
            chosen.Add(KeptStage.Once(
                kept, "choose mics", [take, NotWhole(read), byHand, byHand.Select(correction => correction.CommonRange)], format,
                () =>
                {
                    TakeSound heard = MicSelector.Choose(take, clip => sound[clip], byHand);
                    return heard with { Loudness = LoudnessOfTake.Measure(heard, clip => sound[clip]) };
                }));
        }

        return chosen.ToImmutable();
    }

    /// <summary>A correction made by an earlier report, before an earlier clip came and moved the start of the clock.</summary>
    private static MicCorrection OnThisClock(MicCorrection correction, Placement[] placed, ImmutableArray<Take> takes)
    {
        if (correction.Clock is not { } clock)
        {
            return correction;
        }

        Placement mark = placed.FirstOrDefault(placement => placement.Clip.File.Path == clock.File)
            ?? throw new SettingsException($"{correction}: {clock.File}, by which its times are told, has no place now. Make the correction anew, then run again.");
        return correction.Moved(
            mark.CommonRange.Start,
            time => takes.Select((take, i) => (take, i)).Where(one => one.take.CommonRange.Contains(time)).Select(one => (int?)(one.i + 1)).FirstOrDefault());
    }

    private void Log(DumpResult result)
    {
        foreach (FileOutcome file in result.Files)
        {
            log.Information("{File}: {Outcome}, {Reason} {Damage}", file.File.Path, file.Outcome, file.Reason, file.Damage);
            if (file.Clip?.Media.NotesProblem is { } problem)
            {
                log.Warning("{File}: {Problem}", file.File.Path, problem);
            }
        }

        foreach (IntakeFinding finding in result.Findings)
        {
            log.Warning("{Kind}: {Path}: {Problem}", finding.Kind, finding.Path, finding.Problem);
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
}
