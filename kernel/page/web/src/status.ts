// What the page says without being asked: a polite line for those who listen,
// an urgent one for errors, and a bar with a way back.

import { button, el } from './dom.ts';

const polite = el('div', { role: 'status', class: 'unseen', 'aria-live': 'polite' });
const urgent = el('div', { role: 'alert', class: 'unseen' });
const bar = el('div', { class: 'bar', role: 'region', 'aria-label': 'Message', hidden: true });
let timer: number | undefined;

/** Where screen readers hear of results; made once. */
export function place(): HTMLElement { return el('div', { class: 'voices' }, polite, urgent, bar); }

let last = '';

/** say tells listeners something that is seen on the page anyhow. */
export function say(text: string): void {
  polite.textContent = text === last ? text + '\u00a0' : text; // the same words twice are read twice
  last = polite.textContent;
}

/** alarm tells of an error at once. */
export function alarm(text: string): void { urgent.textContent = text; }

/** How long a bar stays, in ms. Assumed: long enough to read it twice. */
const stays = 12_000;

/** show puts a sentence at the foot of the page, with something to do about it. */
export function show(text: string, actions: { words: string; act: () => void }[] = [], keep = false): void {
  window.clearTimeout(timer);
  bar.replaceChildren(el('span', {}, text),
    ...actions.map(a => button(a.words, () => { hide(); a.act(); })),
    button('Close', hide, { class: 'plain', 'aria-label': 'Close this message' }));
  bar.hidden = false;
  say(text);
  if (!keep) timer = window.setTimeout(hide, stays);
}

export function hide(): void {
  window.clearTimeout(timer);
  bar.hidden = true;
}

/** failed shows an error as a sentence. */
export function failed(e: unknown): void {
  const text = e instanceof Error ? e.message : String(e);
  show(text, [], true);
  alarm(text);
}
