using SyncBench.Time;

namespace SyncBench.Media.Ltc;

/// <summary>Joins words to runs.</summary>
internal sealed class LtcRunBuilder(int rateHz)
{
    /// <summary>In lengths of a word: words that follow each other share an edge.</summary>
    private const double SameEdge = 0.02;

    private readonly List<LtcRun> _runs = [];
    private LtcWord _first;
    private LtcWord _last;
    private int _words;

    /// <summary>The highest frame number before a new second; how the labels count, where a second ended in the run.</summary>
    private int? _lastOfSecond;

    internal IReadOnlyList<LtcRun> Runs => _runs;

    internal double CoveredSamples => _runs.Sum(run => run.Last.EndSample - run.First.StartSample);

    internal void Add(LtcWord word)
    {
        if (_words == 0 || !Continues(word))
        {
            End();
            _first = word;
        }
        else if (word.Seconds != _last.Seconds)
        {
            _lastOfSecond = Math.Max(word.Frames, _last.Frames);
        }

        _last = word;
        _words++;
    }

    internal void End()
    {
        if (_words >= LtcRun.Fewest)
        {
            _runs.Add(new LtcRun(_first, _last, _words, FrameRate()));
        }

        _words = 0;
        _lastOfSecond = null;
    }

    private bool Continues(LtcWord word)
    {
        double length = word.EndSample - word.StartSample;
        (LtcWord earlier, LtcWord later) = word.Reversed ? (word, _last) : (_last, word);
        return word.Reversed == _last.Reversed && word.DropFrame == _last.DropFrame
            && Math.Abs(word.StartSample - _last.EndSample) < SameEdge * length
            && Follows(earlier, later);
    }

    private static bool Follows(LtcWord earlier, LtcWord later)
    {
        int seconds = SecondOfDay(later) - SecondOfDay(earlier);
        return seconds == 0
            ? later.Frames == earlier.Frames + 1
            : seconds is 1 or 1 - 86_400
                && later.Frames == (later.DropFrame && later.Seconds == 0 && later.Minutes % 10 != 0 ? 2 : 0)
                && earlier.Frames is 23 or 24 or 29;
    }

    private static int SecondOfDay(LtcWord word) => (((word.Hours * 60) + word.Minutes) * 60) + word.Seconds;

    private Rate FrameRate()
    {
        double perSecond = rateHz * _words / (_last.EndSample - _first.StartSample);
        int most = Math.Max(_first.Frames, _last.Frames);
        return TimecodeFormat.FrameRates
            .Where(rate => rate.PerSecond < 31)
            .Where(rate => Counted(rate) == _lastOfSecond + 1 || (_lastOfSecond is null && Counted(rate) > most))
            .Where(rate => !_first.DropFrame || rate == Rate.Ntsc30)
            .DefaultIfEmpty(Rate.Ntsc30)
            .MinBy(rate => Math.Abs(rate.PerSecond - perSecond));
    }

    private static int Counted(Rate rate) => (int)Math.Round(rate.PerSecond);
}
