namespace SyncBench.Reporting;

/// <summary>Patterns that tell mics and faults apart without colour; plots refer to them by name.</summary>
internal static class Hatching
{
    internal static HtmlText Definitions => $"""
        <svg class="definitions" aria-hidden="true" width="0" height="0"><title>Patterns of the plots</title><defs>
        <pattern id="stripes" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(60)"><rect class="b" width="8" height="8"/><path class="s" d="M0 0v8"/></pattern>
        <pattern id="waves" width="16" height="8" patternUnits="userSpaceOnUse"><rect class="b" width="16" height="8"/><path class="d-line" d="M0 4q4 -4 8 0t8 0"/></pattern>
        <pattern id="dots" width="7" height="7" patternUnits="userSpaceOnUse"><rect class="c" width="7" height="7"/><circle class="d" cx="3.5" cy="3.5" r="1"/></pattern>
        <pattern id="wind" width="12" height="6" patternUnits="userSpaceOnUse"><path class="h" d="M0 3q3 -3 6 0t6 0"/></pattern>
        <pattern id="rustle" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><path class="h" d="M0 0v6"/></pattern>
        <pattern id="clipping" width="5" height="8" patternUnits="userSpaceOnUse"><path class="h" d="M2.5 0v8"/></pattern>
        <pattern id="dropout" width="8" height="8" patternUnits="userSpaceOnUse"><path class="h" d="M1 1l4 4m0 -4l-4 4"/></pattern>
        <pattern id="silence" width="8" height="6" patternUnits="userSpaceOnUse"><path class="h" d="M0 3h8"/></pattern>
        <pattern id="hum" width="10" height="12" patternUnits="userSpaceOnUse"><path class="h" d="M0 6q2.5 -6 5 0t5 0"/></pattern>
        <pattern id="hiss" width="5" height="5" patternUnits="userSpaceOnUse"><path class="h" d="M1 1h1m2 2h1"/></pattern>
        <pattern id="knocks" width="9" height="9" patternUnits="userSpaceOnUse"><path class="h" d="M2 7l2.5 -6 2.5 6z"/></pattern>
        <pattern id="pumping" width="14" height="10" patternUnits="userSpaceOnUse"><path class="h" d="M0 9l7 -8v8l7 -8v8"/></pattern>
        </defs></svg>
        """;
}
