namespace SyncBench.Reporting;

/// <summary>Patterns that tell mics and faults apart without colour; plots refer to them by name.</summary>
internal static class Hatching
{
    internal static HtmlText Definitions => $"""
        <svg class="definitions" aria-hidden="true" width="0" height="0"><title>Patterns of the plots</title><defs>
        <pattern id="stripes" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(60)"><rect class="b" width="8" height="8"/><path class="s" d="M0 0v8"/></pattern>
        <pattern id="dots" width="7" height="7" patternUnits="userSpaceOnUse"><rect class="c" width="7" height="7"/><circle class="d" cx="3.5" cy="3.5" r="1"/></pattern>
        <pattern id="wind" width="12" height="6" patternUnits="userSpaceOnUse"><path class="h" d="M0 3q3 -3 6 0t6 0"/></pattern>
        <pattern id="rustle" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path class="h" d="M0 0v6"/></pattern>
        <pattern id="clipping" width="5" height="8" patternUnits="userSpaceOnUse"><path class="h" d="M2.5 0v8"/></pattern>
        <pattern id="dropout" width="8" height="8" patternUnits="userSpaceOnUse"><path class="h" d="M1 1l4 4m0 -4l-4 4"/></pattern>
        </defs></svg>
        """;
}
