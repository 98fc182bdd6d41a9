using SyncBench.Scenes;

namespace SyncBench.Benchmarks.Speakers;

/// <summary>From one second to another; the second is not in it.</summary>
internal sealed record Stretch(double From, double To);

/// <summary>A question or an answer as it was laid out.</summary>
/// <param name="IsRestart">An answer that is broken off and begun again.</param>
internal sealed record ScriptedTurn(bool IsAnswer, double From, double To, bool IsRestart);

/// <summary>What is true of a talk.</summary>
/// <param name="Subject">When the subject's voice sounds, pauses of 0.3 s and more left out.</param>
internal sealed record Script(IReadOnlyList<Stretch> Subject, IReadOnlyList<Stretch> Interviewer, IReadOnlyList<ScriptedTurn> Turns);

/// <summary>Lays out a talk in time, with the pauses, overlaps, murmurs and false starts that people make.</summary>
internal sealed class ScriptWriter(Talker subject, Talker interviewer, double seconds, ulong seed)
{
    /// <summary>A sound this far below the sentence's loudest frame is a pause.</summary>
    private const double PauseDb = 40;

    private const double ShortestPause = 0.3;
    private const double Frame = 0.01;

    /// <summary>An answer shorter than this that is followed by another within two seconds counts as begun again.</summary>
    private const double ShortAnswer = 3;

    private readonly SeededRandom _random = new(seed, "script");
    private readonly List<(bool IsSubject, int Start, float[] Samples)> _said = [];
    private readonly List<ScriptedTurn> _turns = [];

    internal async Task<(IReadOnlyList<(bool IsSubject, int Start, float[] Samples)> Said, Script Script)> WriteAsync()
    {
        double at = _random.Between(0.8, 2);
        while (at < seconds - 6)
        {
            at = await QuestionAsync(at);
            at += _random.Between(0.3, 1.4);
            at = await AnswerAsync(at);
            at += _random.NextDouble() < 0.2 ? _random.Between(-1.3, -0.5) : _random.Between(0.4, 1.6);
        }

        return (_said, new Script(Sounding(isSubject: true), Sounding(isSubject: false), _turns));
    }

    private async Task<double> QuestionAsync(double at)
    {
        double from = at;
        for (int sentences = 1 + _random.Below(2); sentences > 0; sentences--)
        {
            at = Put(isSubject: false, at, await interviewer.SayAsync(asks: true, _random));
            at += sentences > 1 ? _random.Between(0.25, 0.8) : 0;
        }

        _turns.Add(new ScriptedTurn(IsAnswer: false, from, at, IsRestart: false));
        return at;
    }

    private async Task<double> AnswerAsync(double at)
    {
        double chance = _random.NextDouble(), from = at;
        if (chance < 0.15)
        {
            at = Put(isSubject: true, at, await subject.BreakOffAsync(_random));
            _turns.Add(new ScriptedTurn(IsAnswer: true, from, at, IsRestart: true));
            from = at += _random.Between(1.2, 1.8);
        }
        else if (chance < 0.35)
        {
            at = Put(isSubject: true, at, await subject.MurmurAsync(_random)) + _random.Between(0.2, 0.8);
        }

        for (int sentences = 1 + _random.Below(6); sentences > 0; sentences--)
        {
            at = Put(isSubject: true, at, await subject.SayAsync(asks: false, _random));
            if (sentences == 1)
            {
                continue;
            }

            if (_random.NextDouble() < 0.15)
            {
                bool opening = at - from < ShortAnswer;
                if (opening)
                {
                    _turns.Add(new ScriptedTurn(IsAnswer: true, from, at, IsRestart: true));
                }

                at += _random.Between(1.15, 1.85);
                from = opening ? at : from;
            }
            else if (_random.NextDouble() < 0.15)
            {
                double word = Put(isSubject: false, at - _random.Between(-0.2, 0.3), await interviewer.MurmurAsync(_random));
                at = word + _random.Between(0.1, 0.4);
            }
            else
            {
                at += _random.Between(0.25, 0.9);
            }
        }

        double to = _said.Where(said => said.IsSubject).Max(said => (double)(said.Start + said.Samples.Length) / Air.SampleRateHz);
        _turns.Add(new ScriptedTurn(IsAnswer: true, from, to, IsRestart: false));
        return to;
    }

    /// <returns>When it has been said.</returns>
    private double Put(bool isSubject, double at, float[] samples)
    {
        _said.Add((isSubject, (int)(at * Air.SampleRateHz), samples));
        return at + ((double)samples.Length / Air.SampleRateHz);
    }

    private List<Stretch> Sounding(bool isSubject)
    {
        var stretches = new List<Stretch>();
        foreach ((_, int start, float[] samples) in _said.Where(said => said.IsSubject == isSubject).OrderBy(said => said.Start))
        {
            int size = (int)(Frame * Air.SampleRateHz);
            double[] powers = [.. Enumerable.Range(0, samples.Length / size).Select(
                frame => samples.Skip(frame * size).Take(size).Sum(sample => (double)sample * sample))];
            double least = powers.Max() * Math.Pow(10, -PauseDb / 10);
            for (int frame = 0; frame < powers.Length; frame++)
            {
                double from = ((double)start / Air.SampleRateHz) + (frame * Frame);
                if (powers[frame] < least)
                {
                    continue;
                }

                if (stretches.Count > 0 && from - stretches[^1].To < ShortestPause)
                {
                    stretches[^1] = new Stretch(stretches[^1].From, Math.Max(stretches[^1].To, from + Frame));
                }
                else
                {
                    stretches.Add(new Stretch(from, from + Frame));
                }
            }
        }

        return stretches;
    }
}
