using System.Collections.Immutable;
using SyncBench.Time;

namespace SyncBench.Selection.Speakers;

/// <summary>Joins stretches of speech to questions and answers.</summary>
/// <remarks>
/// One talker's stretches are one turn up to a pause of more than 2.5 s or until the other takes the word. A listener's
/// word (under 1.5 s, close upon the other's speech, who goes on at once) takes no word. An opening of under 3 s with a
/// pause of 1 to 2 s behind it stands by itself: who begins again stops longer than at a comma.
/// </remarks>
internal static class Turns
{
    private static readonly MediaTime LongestPause = MediaTime.FromMilliseconds(2500);
    private static readonly MediaTime ListenersWord = MediaTime.FromMilliseconds(1500);
    private static readonly MediaTime CloseUpon = MediaTime.FromMilliseconds(450);
    private static readonly MediaTime GoesOnWithin = MediaTime.FromMilliseconds(800);
    private static readonly MediaTime ShortAnswer = MediaTime.FromMilliseconds(3000);
    private static readonly MediaTime RestartWithin = MediaTime.FromMilliseconds(2000);
    private static readonly MediaTime LeastBeforeRestart = MediaTime.FromMilliseconds(1000);

    /// <summary>Connected speech; a shorter sound with a pause behind it is not yet words.</summary>
    private static readonly MediaTime ConnectedSpeech = MediaTime.FromMilliseconds(1000);

    public static ImmutableArray<Turn> Of(ImmutableArray<SpeechStretch> stretches)
    {
        List<TimeRange> subject = Runs(stretches, Speaking.Subject), interviewer = Runs(stretches, Speaking.Interviewer);
        List<TimeRange> asked = [.. interviewer.Where(run => !IsListenersWord(run, subject))];
        List<TimeRange> told = [.. subject.Where(run => !IsListenersWord(run, interviewer))];
        List<List<TimeRange>> answers = Joined(told, asked, opening: true), questions = Joined(asked, told, opening: false);
        return
        [
            .. answers.Select((runs, i) => TurnOf(
                    TurnKind.Answer, runs, i + 1 < answers.Count && MayBeRestart(Range(runs), Range(answers[i + 1]))))
                .Concat(questions.Select(runs => TurnOf(TurnKind.Question, runs, mayBeRestart: false)))
                .OrderBy(turn => turn.CommonRange.Start).ThenBy(turn => turn.Kind),
        ];
    }

    private static bool MayBeRestart(TimeRange answer, TimeRange next) =>
        answer.Duration < ShortAnswer && next.Start - answer.End <= RestartWithin;

    /// <summary>Where one talker speaks, alone or with the other.</summary>
    private static List<TimeRange> Runs(ImmutableArray<SpeechStretch> stretches, Speaking who)
    {
        var runs = new List<TimeRange>();
        foreach (SpeechStretch stretch in stretches.Where(s => s.Who == who || s.Who == Speaking.Both))
        {
            if (runs.Count > 0 && runs[^1].End == stretch.CommonRange.Start)
            {
                runs[^1] = TimeRange.Between(runs[^1].Start, stretch.CommonRange.End);
            }
            else
            {
                runs.Add(stretch.CommonRange);
            }
        }

        return runs;
    }

    private static bool IsListenersWord(TimeRange run, List<TimeRange> other) =>
        run.Duration < ListenersWord
        && other.Exists(speech => speech.Start < run.Start && run.Start - speech.End <= CloseUpon)
        && other.Exists(speech => speech.End > run.End && speech.Start - run.End <= GoesOnWithin);

    private static List<List<TimeRange>> Joined(List<TimeRange> runs, List<TimeRange> others, bool opening)
    {
        var turns = new List<List<TimeRange>>();
        foreach (TimeRange run in runs)
        {
            if (turns.Count > 0 && GoesOn(turns[^1], run, others, opening))
            {
                turns[^1].Add(run);
            }
            else
            {
                turns.Add([run]);
            }
        }

        return turns;
    }

    private static bool GoesOn(List<TimeRange> turn, TimeRange run, List<TimeRange> others, bool opening)
    {
        MediaTime end = turn[^1].End, pause = run.Start - end;
        bool taken = others.Exists(other => other.Start >= end && other.Start < run.Start);
        bool begunAgain = opening && pause >= LeastBeforeRestart && MayBeRestart(Range(turn), run);
        return pause <= LongestPause && !taken && !begunAgain;
    }

    private static TimeRange Range(List<TimeRange> runs) => TimeRange.Between(runs[0].Start, runs[^1].End);

    private static Turn TurnOf(TurnKind kind, List<TimeRange> runs, bool mayBeRestart)
    {
        int first = runs.FindIndex(run => run.Duration >= ConnectedSpeech);
        return new Turn(kind, Range(runs), runs[Math.Max(0, first)].Start, mayBeRestart);
    }
}
