using System.Globalization;
using SyncBench.Media;
using SyncBench.Scenes;
using SyncBench.Selection;

namespace SyncBench.Benchmarks.Selection;

/// <summary>A change of mic, judged.</summary>
/// <param name="SpeechDb">What the closest mic hears of anybody's voice, above 80 Hz, within 40 ms, relative to its speech.</param>
/// <param name="AtAFault">Within 100 ms of where a fault truly begins or ends.</param>
/// <param name="AtAFind">Within 100 ms of where a fault was found to begin or end.</param>
/// <param name="SinceLast">Seconds since the change before; infinite for the first.</param>
internal sealed record JudgedChange(string Scene, double At, double SpeechDb, bool AtAFault, bool AtAFind, bool NearAFault, double SinceLast, string Reason)
{
    internal bool IsWell => IsInAPause || AtAFault;

    internal bool IsWellAsFound => IsInAPause || AtAFind;

    /// <summary>Voices are 20 dB and more below their mean, which no crossfade makes heard.</summary>
    private bool IsInAPause => SpeechDb < -20;
}

/// <summary>Takes in which it is known which mic ought to be heard.</summary>
internal sealed class ChoiceTrials
{
    private const double AtAFaultSeconds = 0.1;
    private const double NearAFaultSeconds = 0.6;

    private readonly List<(string Case, double Agreed, double Spoken)> _cleaner = [];
    private readonly List<(string Case, double Agreed, double Spoken)> _alike = [];
    private readonly List<JudgedChange> _changes = [];
    private int _changesAtSilence;
    private int _silences;
    private int _repeated;
    private int _differing;

    internal static ChoiceTrials Together(IEnumerable<ChoiceTrials> talks)
    {
        var all = new ChoiceTrials();
        foreach (ChoiceTrials talk in talks)
        {
            all._cleaner.AddRange(talk._cleaner);
            all._alike.AddRange(talk._alike);
            all._changes.AddRange(talk._changes);
            all._changesAtSilence += talk._changesAtSilence;
            all._silences += talk._silences;
            all._repeated += talk._repeated;
            all._differing += talk._differing;
        }

        return all;
    }

    /// <summary>The cleaner mic by 6 dB or more; mics within 3 dB; noise that comes and goes; silence everywhere.</summary>
    internal void Run(SceneMixer mixer)
    {
        IReadOnlyList<MicPlan> mics = mixer.Talk.Plan.Mics;
        foreach ((double low, double high) in new[] { (6.0, 12.0), (10.0, 16.0), (16.0, 22.5), (20.0, 28.0) })
        {
            // A camera's own mic is the last choice however clean it is, so it is never the one that ought to be heard.
            for (int best = 0; best < mics.Count; best++)
            {
                if (mics[best].Role != MicRole.Scratch)
                {
                    int cleaner = best;
                    Agree(mixer, _cleaner, (mic, _) => mic == cleaner ? high : low, (_, name) => name == mics[cleaner].Name);
                }
            }
        }

        foreach (double snr in new[] { 10.0, 18.0, 26.0 })
        {
            Agree(mixer, _alike, (mic, _) => mics[mic].Role == MicRole.Lavalier ? snr : snr + 2, (_, name) => RoleOf(name) == MicRole.Lavalier);
        }

        bool Noisy(double second) => second is (>= 25 and < 50) or (>= 75 and < 100);
        Agree(
            mixer, _cleaner, (mic, second) => mics[mic].Role == MicRole.Lavalier ? (Noisy(second) ? 9 : 25) : mics[mic].Role == MicRole.Scratch ? 8 : 17,
            (second, name) => RoleOf(name) == MicRole.Lavalier != Noisy(second),
            [.. new[] { 25, 75 }.Select(at => new InjectedFault(FaultKind.Hiss, 0, Strength.Strong, 0, at, at + 25))]); // its edges are as a fault's
        Silence(mixer);

        MicRole RoleOf(string name) => mics.Single(mic => mic.Name == name).Role;
    }

    /// <summary>Judges every change of a take with faults.</summary>
    internal void Judge(string scene, TakeSound chosen, TalkBase talk, IReadOnlyList<InjectedFault> faults)
    {
        double last = double.NegativeInfinity;
        foreach (Segment segment in chosen.Segments.Skip(1))
        {
            double at = segment.CommonRange.Start.ToSeconds();
            double nearest = Nearest(at, faults.Select(fault => (fault.From, fault.To)));
            double nearestFind = Nearest(at, chosen.Faults.Select(fault => (fault.CommonRange.Start.ToSeconds(), fault.CommonRange.End.ToSeconds())));
            _changes.Add(new JudgedChange(
                scene, at, SpeechDb(talk, at), nearest <= AtAFaultSeconds, nearestFind <= AtAFaultSeconds, nearest <= NearAFaultSeconds, at - last,
                segment.Reason));
            last = at;
        }
    }

    internal IEnumerable<Requirement> Required()
    {
        yield return Agreement("speech heard through the mic that is cleaner by 6 dB or more", ">= 98 %", _cleaner, 0.98);
        yield return Agreement("speech heard through a lavalier, others cleaner by 2 dB", ">= 99.9 %", _alike, 0.999);
        int asFound = _changes.Count(change => change.IsWellAsFound), well = _changes.Count(change => change.IsWell);
        yield return new("changes in a pause or within 100 ms of a fault's edge, as found", "all", Of(asFound, _changes.Count), _changes.Count, asFound == _changes.Count);
        yield return new("changes in a pause or within 100 ms of a fault's edge, as put in", "all", Of(well, _changes.Count), _changes.Count, well == _changes.Count);
        int hasty = _changes.Count(change => change.SinceLast < 2 && !change.NearAFault);
        yield return new("changes within 2 s of the last, no fault near", "0", hasty.ToString(CultureInfo.InvariantCulture), _changes.Count, hasty == 0);
        yield return new(
            "changes within 1 s of digital silence on every mic", "0", _changesAtSilence.ToString(CultureInfo.InvariantCulture), _silences, _changesAtSilence == 0);
        yield return new("choices that a second run makes otherwise", "0", _differing.ToString(CultureInfo.InvariantCulture), _repeated, _differing == 0);
    }

    internal void List(TextWriter to)
    {
        foreach ((string name, double agreed, double spoken) in _cleaner.Concat(_alike).Where(trial => trial.Agreed < 0.98 * trial.Spoken))
        {
            to.WriteLine(string.Create(CultureInfo.InvariantCulture, $"choice  {name}: {agreed / spoken * 100:0.0} %"));
        }

        foreach (JudgedChange change in _changes.Where(change => !change.IsWell || !change.IsWellAsFound || (change.SinceLast < 2 && !change.NearAFault)))
        {
            to.WriteLine(string.Create(CultureInfo.InvariantCulture, $"change  {change.Scene} at {change.At:0.00}, speech {change.SpeechDb:0} dB, {change.SinceLast:0.0} s after the last: {change.Reason}"));
        }
    }

    private void Agree(
        SceneMixer mixer, List<(string Case, double Agreed, double Spoken)> to, Func<int, double, double> snrDb, Func<double, string, bool> agrees,
        params InjectedFault[] edges)
    {
        var take = new BenchTake(mixer.Talk.Plan.Mics, mixer.Mix([], out _, snrDb));
        TakeSound chosen = take.Choose();
        Repeat(take, chosen);
        double agreed = 0, spoken = 0;
        foreach ((double from, double until) in mixer.Talk.Spoken)
        {
            for (double at = from + 0.005; at < until; at += 0.01)
            {
                Segment segment = chosen.Segments.First(s => s.CommonRange.End.ToSeconds() > at);
                spoken += 0.01;
                agreed += agrees(at, segment.Source.Clip.Device.Name) ? 0.01 : 0;
            }
        }

        string[] levels = [.. mixer.Talk.Plan.Mics.Select((mic, i) => string.Create(CultureInfo.InvariantCulture, $"{mic.Name} {snrDb(i, 0)} dB"))];
        to.Add(($"{mixer.Talk.Plan.Name} {string.Join(", ", levels)} ({chosen.Segments[^1].Reason})", agreed, spoken));
        Judge($"{mixer.Talk.Plan.Name} {string.Join(", ", levels)}", chosen, mixer.Talk, edges);
    }

    private void Silence(SceneMixer mixer)
    {
        double[] times = [22, 61.3, 90];
        FaultPlan[] everywhere =
        [
            .. times.SelectMany(at => mixer.Talk.Plan.Mics.Select((_, mic) =>
                new FaultPlan(FaultKind.Silence, 0, Strength.Strong, mic, at, at + 2.5, Seed: 1))),
        ];
        var take = new BenchTake(mixer.Talk.Plan.Mics, mixer.Mix(everywhere, out _));
        TakeSound chosen = take.Choose();
        Repeat(take, chosen);
        _silences += times.Length;
        _changesAtSilence += chosen.Segments.Skip(1)
            .Count(segment => times.Any(at => segment.CommonRange.Start.ToSeconds() >= at - 1 && segment.CommonRange.Start.ToSeconds() <= at + 3.5));
    }

    private void Repeat(BenchTake take, TakeSound chosen)
    {
        _repeated++;
        _differing += take.Choose().Segments.SequenceEqual(chosen.Segments) ? 0 : 1;
    }

    /// <summary>Seconds to the nearest edge.</summary>
    private static double Nearest(double at, IEnumerable<(double From, double To)> stretches) =>
        stretches.Select(stretch => Math.Min(Math.Abs(stretch.From - at), Math.Abs(stretch.To - at))).DefaultIfEmpty(double.PositiveInfinity).Min();

    private static double SpeechDb(TalkBase talk, double at)
    {
        const double Reach = 0.04;
        int from = Math.Max(0, (int)((at - Reach) * Air.SampleRateHz)), to = Math.Min(talk.Voice.Length, (int)((at + Reach) * Air.SampleRateHz));
        double power = 0;
        for (int i = from; i < to; i++)
        {
            power += (double)talk.Voice[i] * talk.Voice[i];
        }

        return 10 * Math.Log10((power / Math.Max(1, to - from)) + 1e-12);
    }

    private static Requirement Agreement(string what, string asked, List<(string Case, double Agreed, double Spoken)> trials, double least)
    {
        double share = trials.Sum(trial => trial.Agreed) / trials.Sum(trial => trial.Spoken);
        return new(what, asked, SelectionReport.Percent(share), trials.Count, share >= least);
    }

    private static string Of(int part, int all) => string.Create(CultureInfo.InvariantCulture, $"{part} of {all}");
}
