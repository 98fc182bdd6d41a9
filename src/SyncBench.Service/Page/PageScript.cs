namespace SyncBench.Service.Page;

/// <summary>Keeps an open page up to date; without it the page reads the same, and is reloaded by hand.</summary>
internal static class PageScript
{
    internal const string Text = """
        'use strict';
        const said = document.getElementById('said');
        let shape = document.documentElement.dataset.shape;
        const source = new EventSource('/events');
        source.onmessage = async event => {
          const news = JSON.parse(event.data);
          for (const dump of news.dumps) {
            const words = document.getElementById('progress-' + dump.id);
            if (words && words.textContent !== dump.progress) words.textContent = dump.progress;
            const bar = document.getElementById('bar-' + dump.id);
            if (bar) bar.value = dump.share;
          }
          if (news.shape === shape) return;
          const before = new Map([...document.querySelectorAll('[data-state]')].map(e => [e.dataset.name, e.dataset.state]));
          const fresh = new DOMParser().parseFromString(await (await fetch(location.href)).text(), 'text/html');
          const focus = document.activeElement ? document.activeElement.id : '';
          document.querySelector('main').replaceWith(fresh.querySelector('main'));
          shape = fresh.documentElement.dataset.shape;
          if (focus) { const again = document.getElementById(focus); if (again) again.focus(); }
          said.textContent = [...document.querySelectorAll('[data-state]')]
            .filter(e => before.get(e.dataset.name) !== e.dataset.state)
            .map(e => e.dataset.name + ': ' + e.dataset.state).join('. ');
        };
        """;
}
