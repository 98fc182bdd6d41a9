namespace SyncBench.Reporting;

/// <summary>The page's style sheet. Colours were picked for this page and hold WCAG 2.2 AA in light, dark and print.</summary>
/// <remarks>
/// What is not in view yet is laid out when it comes near (CSS Containment Module Level 2, section 4), so that a page of many takes
/// opens as soon as one of few; the heights stand in for it until then. Such a section cuts off what reaches beyond it: the
/// padding leaves room for the outlines of focus.
/// </remarks>
internal static class ReportStyle
{
    internal static HtmlText Sheet => $$$$"""
        :root{--paper:#fbfaf5;--ink:#20252b;--soft:#565d66;--rule:#d8d4c6;--field:#f2efe4;--link:#0a4f8a;
        --a:#14506b;--on-a:#fff;--b2:#7a5200;--c2:#57498c;--take:#e9efe6;--warn:#8c2f16;--good:#2c5e34;
        --peak:#b9cdd4;--level:#123f57;--noise:#8a3b12;--hatch:#7a2416}
        @media(prefers-color-scheme:dark){:root{--paper:#171a1d;--ink:#e9e5da;--soft:#b3b0a6;--rule:#3d4247;--field:#22262a;--link:#8fc4f2;
        --a:#86c6dc;--on-a:#0f1c22;--b2:#f2cf7c;--c2:#c3b6f5;--take:#222b24;--warn:#ffab8f;--good:#9fd6a6;
        --peak:#3a5460;--level:#a6dcf0;--noise:#f0a878;--hatch:#ff9f85}}
        *{box-sizing:border-box}
        body{margin:0 auto;padding:1.5rem clamp(1rem,4vw,3rem);max-width:76rem;background:var(--paper);color:var(--ink);
        font:1rem/1.55 system-ui,sans-serif;overflow-wrap:anywhere}
        h1{font:600 1.9rem/1.2 Georgia,"Noto Serif",serif;margin:0}
        h2{font:600 1.4rem/1.3 Georgia,"Noto Serif",serif;margin:2.6rem 0 .6rem;padding-top:.6rem;border-top:1px solid var(--rule)}
        h3{font-size:1.02rem;margin:1.5rem 0 .4rem}
        p{margin:.4rem 0;max-width:46rem}
        .lead{font-size:1.06rem;color:var(--soft)}
        a{color:var(--link);text-underline-offset:.15em}
        a:focus-visible,.scroll:focus-visible{outline:3px solid var(--link);outline-offset:2px}
        nav ul{display:flex;flex-wrap:wrap;gap:.3rem 1.4rem;list-style:none;padding:0;margin:1.2rem 0 0}
        nav a{display:inline-block;padding:.25rem 0}
        #act{margin-top:1.4rem;padding:.2rem 1.2rem 1rem;background:var(--field);border:1px solid var(--rule);border-left-width:.5rem}
        #act.urgent{border-left-color:var(--warn)}
        #act.calm{border-left-color:var(--good)}
        #act h2{margin:.8rem 0 .4rem;padding:0;border:0}
        #act ol{margin:0;padding-left:1.4rem}
        #act ol>li{margin:.8rem 0}
        #act h3{margin:0;color:var(--warn)}
        #act ul{margin:.2rem 0;padding-left:1.1rem}
        .glance{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(17rem,100%),1fr));gap:.8rem;margin:1.2rem 0 0}
        .glance section{padding:.7rem 1rem .8rem;border:1px solid var(--rule);border-top-width:.4rem;background:var(--field)}
        .glance .yes{border-top-color:var(--good)}.glance .no{border-top-color:var(--warn)}.glance .unknown{border-top-color:var(--soft)}
        .glance h3{margin:0;font-weight:400}
        .glance ul{margin:.3rem 0 0;padding-left:1.1rem}
        .verdict{font:600 1.5rem/1.2 Georgia,"Noto Serif",serif}
        .yes .verdict{color:var(--good)}.no .verdict{color:var(--warn)}
        .shape{width:1.1em;height:1.1em;vertical-align:-.14em;fill:currentColor}
        .unseen{position:absolute;width:1px;height:1px;margin:0;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
        .on-paper{display:none}
        .caution{margin-top:1rem;padding-top:.7rem;border-top:1px solid var(--rule)}
        .note{padding:.5rem .9rem;background:var(--field);border-left:.25rem solid var(--rule);max-width:none}
        table{border-collapse:collapse;width:100%;margin:.6rem 0 1.2rem;font-size:.92rem}
        caption{text-align:left;color:var(--soft);padding:.3rem 0;font-size:.92rem}
        th,td{text-align:left;vertical-align:top;padding:.42rem .8rem .42rem 0;border-bottom:1px solid var(--rule);overflow-wrap:break-word}
        td:last-child{min-width:11em}th,td:last-child,bdi{overflow-wrap:anywhere}tbody th{min-width:11.5em}td:nth-child(2){min-width:7.5em}
        thead th{font-weight:600;color:var(--soft);border-bottom:2px solid var(--rule);overflow-wrap:break-word}
        tbody th{font-weight:600}
        .file{display:inline-block;min-width:13.2em}
        .thumbnail{display:block;width:8.6rem;height:auto;margin-top:.3rem;border:1px solid var(--rule)}
        .player{display:flex;flex-wrap:wrap;align-items:center;gap:.3rem .8rem;max-width:none}.player audio{width:20rem;max-width:100%}
        .player span{flex:1 1 16rem;font-size:.9rem;color:var(--soft)}
        .figure{font-variant-numeric:tabular-nums;white-space:nowrap}
        .outcome{white-space:nowrap;font-weight:600}
        .placed{color:var(--good)}.check-by-ear,.unreadable{color:var(--warn)}.set-aside{color:var(--soft)}
        figure{margin:.4rem 0 1.4rem}
        figcaption{font-size:.9rem;color:var(--soft);max-width:60rem}
        .scroll{overflow-x:auto}
        .scroll svg{display:block;width:100%;min-width:40rem;height:auto}
        .definitions{position:absolute}
        .key{margin-right:.5rem}
        .swatch{width:1.75rem;height:.875rem;vertical-align:-.1em}
        .swatch.small{width:.875rem}
        svg text{font:13px system-ui,sans-serif;fill:var(--ink)}
        .tick{text-anchor:middle;font-size:12px;fill:var(--soft);font-variant-numeric:tabular-nums}
        .lane{text-anchor:end}
        .small{font-size:12px;fill:var(--soft)}
        .grid{stroke:var(--rule);stroke-width:1}
        .axis,.lane-line{stroke:var(--soft);stroke-width:1}
        .lane-line{stroke:var(--rule)}
        .take{fill:var(--take)}
        .bar.camera{fill:var(--a)}
        .bar.recorder{fill:var(--paper);stroke:var(--a);stroke-width:2}
        .bar.aside{fill:none;stroke:var(--ink);stroke-width:1.5;stroke-dasharray:5 3}
        .turn{stroke:var(--ink);stroke-width:1}.turn.answer{fill:var(--take)}.turn.question{fill:var(--paper)}
        .bar-text{text-anchor:middle}
        .bar-text.camera{fill:var(--on-a)}
        .mic{stroke:var(--ink);stroke-width:1}
        .mic.lavalier{fill:var(--field)}.mic.boom{fill:url(#waves)}.mic.shotgun{fill:url(#stripes)}.mic.scratch{fill:url(#dots)}
        .mic-text{font-weight:600;paint-order:stroke;stroke:var(--paper);stroke-width:5px;stroke-linejoin:round}
        .b{fill:var(--paper)}.s{stroke:var(--b2);stroke-width:3}.c{fill:var(--paper)}.d{fill:var(--c2)}.d-line{fill:none;stroke:var(--c2);stroke-width:1.5}
        .h{stroke:var(--hatch);stroke-width:1.3;fill:none}
        .change{stroke:var(--ink);stroke-width:1;stroke-dasharray:1 3}
        .peak{fill:var(--peak)}
        .level{fill:none;stroke:var(--level);stroke-width:1.5}
        .noise{fill:none;stroke:var(--noise);stroke-width:1.5;stroke-dasharray:5 3}
        .fault{stroke:var(--hatch);stroke-width:1.2}
        .fault.wind{fill:url(#wind)}.fault.rustle{fill:url(#rustle)}.fault.clipping{fill:url(#clipping)}.fault.dropout{fill:url(#dropout)}
        .fault.digital-silence{fill:url(#silence)}.fault.hum{fill:url(#hum)}.fault.hiss{fill:url(#hiss)}.fault.knocks{fill:url(#knocks)}.fault.gain-pumping{fill:url(#pumping)}
        .plate{fill:var(--paper)}
        .fault-text{text-anchor:middle;font-size:12px}
        .fit{stroke:var(--ink);stroke-width:1.5}
        .vote{fill:var(--level)}.lag-votes{stroke:var(--level);stroke-width:4;stroke-linecap:round}
        .passed-over{fill:none;stroke:var(--noise);stroke-width:1.4}
        .beyond{fill:none;stroke:var(--noise);stroke-width:1.4}
        @media screen{#files,#clocks,.take-section,#set-aside{content-visibility:auto;contain-intrinsic-size:auto 60rem;margin-inline:-.5rem;padding-inline:.5rem}
        .take-section{contain-intrinsic-height:auto 300rem}}
        @media screen and (min-width:44rem) and (max-width:72rem){table{font-size:.86rem}th,td{padding-right:.5rem}}
        {{{{Cards("table.wide", "60rem")}}}}
        {{{{Cards("table", "44rem")}}}}
        @page{margin:14mm}
        @media print{:root{--paper:#fff;--ink:#111;--soft:#444;--rule:#bbb;--field:#f4f4f0;--link:#111;--a:#14506b;--on-a:#fff;--b2:#7a5200;--c2:#57498c;
        --take:#e9efe6;--warn:#8c2f16;--good:#2c5e34;--peak:#b9cdd4;--level:#123f57;--noise:#8a3b12;--hatch:#7a2416}
        body{max-width:none;padding:0;font-size:9.5pt;line-height:1.3;print-color-adjust:exact;-webkit-print-color-adjust:exact}
        p,figcaption{max-width:none}p,#act ul{margin:.15rem 0}#act,.glance section{padding-bottom:.3rem}table{font-size:8pt}th,td{padding-right:.5em}nav,.player{display:none}.thumbnail{width:22mm}.scroll{overflow:visible}.scroll svg{min-width:0}
        figure,tr,#act li,#set-aside{break-inside:avoid}h2,h3,caption,thead{break-after:avoid}tbody tr:first-child{break-before:avoid}#files,.take-section{break-before:page}
        #act ol>li{margin:.4rem 0}#act,.glance{margin-top:.6rem}figure{margin-bottom:.6rem}.caution{margin-top:.4rem;padding-top:.3rem}.glance{grid-template-columns:repeat(3,1fr);gap:3mm}.glance section{padding:2mm 3mm}.verdict{font-size:13pt}h1{font-size:16pt}
        #map h2{margin-top:.5rem}#act ul>li:nth-child(n+4){display:none}.on-paper{display:block}}
        """;

    /// <summary>Up to a width of the window the rows of such tables are cards: two cells beside each other where there is room, and none for what has no value.</summary>
    private static HtmlText Cards(string tables, string upTo) => $$$$"""
        @media screen and (max-width:{{{{upTo}}}}){
        :is({{{{tables}}}}),:is({{{{tables}}}}) :is(thead,tbody,tr,th,td,caption){display:block}
        :is({{{{tables}}}}) thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
        :is({{{{tables}}}}) tbody tr{border-bottom:2px solid var(--rule);padding:.4rem 0}
        :is({{{{tables}}}}) :is(th,td){border:0;padding:.12rem 0}:is({{{{tables}}}}) td.none{display:none}
        :is({{{{tables}}}}) td::before{content:attr(data-label) ": ";color:var(--soft)}}
        @media screen and (min-width:38rem) and (max-width:{{{{upTo}}}}){
        :is({{{{tables}}}}) tbody tr{display:grid;grid-template-columns:13.5rem 1fr 1fr;gap:0 1.2rem}
        :is({{{{tables}}}}) tbody th{grid-row:1/span 8;min-width:0}:is({{{{tables}}}}) td:last-child{grid-column:2/-1}}
        """;
}
