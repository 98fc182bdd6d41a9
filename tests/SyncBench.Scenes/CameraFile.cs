namespace SyncBench.Scenes;

/// <summary>A clip as a camera writes it: H.264 at 25 frames a second with AAC sound, both from the same instant.</summary>
public static class CameraFile
{
    public const int FramesPerSecond = 25;

    /// <param name="path">Ends in .MP4 or .MOV.</param>
    /// <param name="sound">One array a channel at 48 kHz, as long as the picture; null for no sound stream at all.</param>
    /// <param name="created">The camera's own time of day at the first frame; written in whole seconds.</param>
    /// <param name="timecode">Label of the first frame, hh:mm:ss:ff, for a timecode track; null for none.</param>
    /// <exception cref="InvalidOperationException">ffmpeg is missing or failed.</exception>
    public static async Task WriteAsync(
        string path, Picture picture, int frames, double sceneSeconds, IReadOnlyList<float[]>? sound,
        DateTime created, string? timecode, CancellationToken cancel)
    {
        List<string> arguments = ["-hide_banner", "-v", "error", "-y"];
        if (sound is not null)
        {
            arguments.AddRange(["-f", "f32le", "-ar", "48000", "-ac", $"{sound.Count}", "-i", "pipe:0"]);
        }

        arguments.AddRange(["-f", "lavfi", "-i", picture.Filter(frames, sceneSeconds)]);
        arguments.AddRange(sound is null
            ? ["-map", "0:v"]
            : ["-map", "1:v", "-map", "0:a", "-c:a", "aac", "-b:a", "192k"]);

        // One thread each: the encoder notes its thread count in the stream, and two cameras are written side by side.
        arguments.AddRange(["-c:v", "libx264", "-preset", "ultrafast", "-threads", "1"]);
        arguments.AddRange(["-metadata", $"creation_time={created:yyyy-MM-ddTHH:mm:ss}Z"]);
        if (timecode is not null)
        {
            arguments.AddRange(["-timecode", timecode]);
        }

        arguments.AddRange(["-fflags", "+bitexact", "-flags", "+bitexact", path]);
        await ExternalTool.RunAsync(
            "ffmpeg", arguments, sound is null ? null : pipe => Interleaved.WriteAsync(pipe, sound, cancel), cancel);
    }
}
