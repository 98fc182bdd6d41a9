using System.Collections.Immutable;
using System.ComponentModel;
using System.Globalization;
using Spectre.Console.Cli;
using SyncBench.Intake;
using SyncBench.Media;
using SyncBench.Pipeline;

namespace SyncBench.Worker.Commands;

/// <summary><c>syncbench probe PATH</c></summary>
internal sealed class ProbeCommand : AsyncCommand<ProbeCommand.Arguments>
{
    internal sealed class Arguments : CommandSettings
    {
        [CommandArgument(0, "<PATH>")]
        [Description("A media file, or a folder of them.")]
        public string Path { get; init; } = string.Empty;
    }

    public override async Task<int> ExecuteAsync(
        CommandContext context, Arguments arguments, CancellationToken cancellationToken)
    {
        int code = ExitCode.Done;
        foreach (MediaFile file in Files(arguments.Path))
        {
            ProbeResult probed = await MediaProbe.ProbeAsync(file, cancellationToken);
            if (probed.Media is { } media)
            {
                Console.Out.WriteLine(Card(media));
            }
            else
            {
                Console.Out.WriteLine($"{file.Path}\n  unreadable  {probed.Problem}\n");
                code = ExitCode.NeedsAPerson;
            }
        }

        return code;
    }

    private static ImmutableArray<MediaFile> Files(string path)
    {
        if (Directory.Exists(path))
        {
            return DumpLister.List(path).Files;
        }

        var file = new FileInfo(path);
        return file.Exists
            ? [new MediaFile(file.Name, file.FullName, file.Length)]
            : throw new RunRefusedException($"{path}: there is no such file or folder. Check the path.", wrongUsage: true);
    }

    private static string Card(MediaInfo media)
    {
        CultureInfo plain = CultureInfo.InvariantCulture;
        var lines = new List<string>
        {
            media.File.Path,
            string.Create(plain, $"  container   {media.Format}, {media.File.Bytes / 1e6:0.0} MB"),
            string.Create(plain, $"  length      {media.Duration.ToSeconds():0.000} s"),
        };
        lines.AddRange(media.Video.Select(v => string.Create(
            plain, $"  picture     {v.Codec}, {v.Width}x{v.Height}, {v.FrameRate} fps, starts at {v.Start.ToSeconds():0.000000} s")));
        lines.AddRange(media.Audio.Select(a => string.Create(
            plain, $"  sound       {a.Codec}, {a.SampleRateHz} Hz, {a.Channels} channel(s), starts at {a.Start.ToSeconds():0.000000} s")));
        lines.AddRange(media.Video.Where(v => v.IsVariableRate || v.IsInterlaced).Select(v =>
            $"  frames      {(v.IsVariableRate ? "variable rate, the mean is shown" : "constant rate")}{(v.IsInterlaced ? ", interlaced" : string.Empty)}"));
        lines.AddRange(media.Audio.Where(a => a.Name is not null || a.Layout is not null).Select(a => $"  track       {a.Layout ?? "no layout"}{(a.Name is { } name ? $", named \"{name}\"" : string.Empty)}"));
        if (media.MadeBy is { } maker)
        {
            lines.Add($"  made by     {maker}{(media.Reel is { } reel ? $", reel {reel}" : string.Empty)}");
        }

        if (media.Damage is { } damage)
        {
            lines.Add($"  damage      {damage}");
        }

        if (media.StartTimecode is { } timecode)
        {
            lines.Add($"  timecode    {timecode}");
        }

        if (media.TimeReference is { } reference)
        {
            lines.Add(string.Create(plain, $"  reference   {reference} samples since midnight"));
        }

        if (media.CreatedAt is { } created)
        {
            lines.Add(string.Create(plain, $"  made        {created:yyyy-MM-dd HH:mm:ss zzz}"));
        }

        return string.Join('\n', lines) + "\n";
    }
}
