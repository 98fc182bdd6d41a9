namespace SyncBench.Service.Page;

/// <summary>Keeps an open page up to date; without it the page reads the same, and is reloaded by hand.</summary>
internal static class PageScript
{
    internal const string Text = """
        'use strict';
        const said = document.getElementById('said');
        let shape = document.documentElement.dataset.shape, latest = shape;
        // A form that is being filled in stays as it is: the page is renewed when the form is left.
        const isFilling = () => document.activeElement && document.activeElement.matches('input, select');
        async function renew() {
          if (latest === shape || isFilling()) return;
          const before = new Map([...document.querySelectorAll('[data-state]')].map(e => [e.dataset.name, e.dataset.state]));
          const fresh = new DOMParser().parseFromString(await (await fetch(location.href)).text(), 'text/html');
          if (isFilling()) return;
          const focus = document.activeElement ? document.activeElement.id : '';
          const open = [...document.querySelectorAll('details[open] > summary')].map(e => e.id);
          document.querySelector('main').replaceWith(fresh.querySelector('main'));
          shape = fresh.documentElement.dataset.shape;
          for (const id of open) { const again = document.getElementById(id); if (again) again.parentElement.open = true; }
          if (focus) { const again = document.getElementById(focus); if (again) again.focus(); }
          said.textContent = [...document.querySelectorAll('[data-state]')]
            .filter(e => before.get(e.dataset.name) !== e.dataset.state)
            .map(e => e.dataset.name + ': ' + e.dataset.state).join('. ');
        }
        document.addEventListener('focusout', () => setTimeout(renew));
        const source = new EventSource('/events');
        source.onmessage = event => {
          const news = JSON.parse(event.data);
          for (const dump of news.dumps) {
            const words = document.getElementById('progress-' + dump.id);
            if (words && words.textContent !== dump.progress) words.textContent = dump.progress;
            const bar = document.getElementById('bar-' + dump.id);
            if (bar) bar.value = dump.share;
          }
          latest = news.shape;
          return renew();
        };
        """;
}
