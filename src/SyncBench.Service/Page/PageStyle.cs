using SyncBench.Reporting;

namespace SyncBench.Service.Page;

/// <summary>The report's sheet, and what only the service's page needs.</summary>
internal static class PageStyle
{
    internal static string Sheet { get; } = ReportStyle.Sheet.ToString() + """

        .skip{position:absolute;left:-100vw}.skip:focus{position:static}
        header p,header nav{margin-top:.4rem}
        progress{width:min(22rem,100%);height:.9rem;accent-color:var(--a)}
        form{display:inline-block;margin:.2rem .6rem .2rem 0}
        button{font:inherit;color:var(--ink);background:var(--field);border:1px solid var(--soft);padding:.4rem .8rem;min-height:2.75rem}
        button{cursor:pointer}button:hover{border-color:var(--ink)}
        button:focus-visible,pre:focus-visible{outline:3px solid var(--link);outline-offset:2px}
        details{margin:.4rem 0}summary{cursor:pointer;padding:.6rem 0;min-height:2.75rem}summary:focus-visible{outline:3px solid var(--link);outline-offset:2px}
        form.fields{display:block;padding:.2rem 0 .8rem 1.1rem}label{display:block}
        input,select{font:inherit;color:var(--ink);background:var(--field);border:1px solid var(--soft);padding:.4rem .6rem;min-height:2.75rem;width:min(28rem,100%)}
        input:focus-visible,select:focus-visible{outline:3px solid var(--link);outline-offset:2px}
        .state{font-weight:600}.state.done{color:var(--good)}.state.look,.state.failed{color:var(--warn)}
        pre{background:var(--field);border:1px solid var(--rule);padding:.8rem;overflow:auto;max-height:70vh;font-size:.85rem;white-space:pre-wrap}
        """;
}
