using System.Globalization;
using SyncBench.Intake;
using SyncBench.Media;

namespace SyncBench.Service.Page;

/// <summary>Reads what a person filled into one of the forms of <see cref="CorrectionForms"/>.</summary>
internal static class CorrectionForm
{
    /// <param name="files">Of the last run, for the clock that its report shows.</param>
    /// <exception cref="SettingsException">It cannot be understood, or contradicts another correction.</exception>
    internal static Corrections Applied(Corrections now, IFormCollection form, FileResult[] files) => form["kind"].ToString() switch
    {
        "back" => now.Without(form["correction"].ToString()),
        "role" => now.And(new Corrections(Roles: [Role(form)])),
        "mic" => now.And(new Corrections(Mics: [Mic(form, files)])),
        "place" => now.And(new Corrections(Placed: [new PlacedByHand(Needed(form, "file"), Needed(form, "against"), Number(form, "offset"))])),
        "leave" => now.And(new Corrections(LeftOut: [Needed(form, "file")])),
        _ => throw new SettingsException("This form is not one of the page's."),
    };

    private static RoleCorrection Role(IFormCollection form) => new(
        Needed(form, "file"), Text(form, "device"), Text(form, "angle"), Text(form, "mic") is { } mic ? MicOf(mic) : null, Whole(form, "channel"));

    private static MicCorrection Mic(IFormCollection form, FileResult[] files)
    {
        int take = Whole(form, "take") ?? throw new SettingsException("take is missing");
        return new MicCorrection(
            take, MicOf(Needed(form, "mic")), Needed(form, "from"), Needed(form, "to"), Text(form, "device"), Whole(form, "channel"),
            FileResult.ClockOf(files, take) ?? throw new SettingsException($"the results have no take {take}"));
    }

    private static MicRole MicOf(string text) =>
        Enum.TryParse(text, ignoreCase: true, out MicRole role) && Enum.IsDefined(role) ? role : throw new SettingsException($"\"{text}\" is no mic");

    private static double Number(IFormCollection form, string name) =>
        double.TryParse(Needed(form, name), NumberStyles.Float, CultureInfo.InvariantCulture, out double number)
            ? number : throw new SettingsException($"{name} is a number of seconds, such as 12.48 or -3");

    private static int? Whole(IFormCollection form, string name) =>
        Text(form, name) is not { } text ? null
        : int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int number) ? number
        : throw new SettingsException($"{name} is a whole number");

    private static string Needed(IFormCollection form, string name) => Text(form, name) ?? throw new SettingsException($"{name} is missing");

    private static string? Text(IFormCollection form, string name) => form[name].ToString().Trim() is { Length: > 0 } text ? text : null;
}
