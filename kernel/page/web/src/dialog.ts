// Questions to the person, in the browser's own dialogs: focus stays inside,
// Escape leaves, and focus goes back to where it was.

import { button, el } from './dom.ts';

export interface Choice { words: string; value: string; main?: boolean; danger?: boolean }

/** choose asks and gives the value of what was pressed, or null. */
export function choose(title: string, body: (Node | string)[], choices: Choice[], prepare?: (d: HTMLDialogElement) => void): Promise<string | null> {
  return new Promise(resolve => {
    const id = `d${Math.random().toString(36).slice(2)}`;
    const before = document.activeElement as HTMLElement | null;
    const d = el('dialog', { class: 'ask', 'aria-labelledby': id });
    const answer = (v: string) => { d.returnValue = v; d.close(v); };
    d.append(el('h2', { id }, title), ...body.map(b => typeof b === 'string' ? el('p', {}, b) : b),
      el('div', { class: 'choices' },
        ...choices.map(c => button(c.words, () => answer(c.value), { class: c.danger ? 'danger' : c.main ? 'main' : '' })),
        button('Cancel', () => d.close(''))));
    d.addEventListener('close', () => {
      d.remove();
      if (before?.isConnected) before.focus();
      resolve(d.returnValue || null);
    });
    document.body.append(d);
    prepare?.(d);
    d.showModal();
    (d.querySelector<HTMLElement>('input, [autofocus]') ?? d.querySelector<HTMLElement>('.main, button'))?.focus();
  });
}

/** ask wants a line of text. */
export async function ask(title: string, label: string, value: string, words: string): Promise<string | null> {
  const input = el('input', { type: 'text', value, spellcheck: false, autocomplete: 'off' });
  const line = el('label', { class: 'line' }, label, input);
  const got = await choose(title, [line], [{ words, value: 'ok', main: true }], d => {
    input.addEventListener('keydown', e => { if (e.key === 'Enter') { e.preventDefault(); d.returnValue = 'ok'; d.close('ok'); } });
    window.setTimeout(() => input.select());
  });
  const text = input.value.trim();
  return got === 'ok' && text !== '' ? text : null;
}

/** tell shows something long; there is nothing to decide. */
export function tell(title: string, body: Node[], kind = ''): void {
  const id = `d${Math.random().toString(36).slice(2)}`;
  const before = document.activeElement as HTMLElement | null;
  const d = el('dialog', { class: `ask ${kind}`, 'aria-labelledby': id });
  d.append(el('h2', { id }, title), ...body, el('div', { class: 'choices' }, button('Close', () => d.close(), { class: 'main' })));
  d.addEventListener('close', () => { d.remove(); if (before?.isConnected) before.focus(); });
  document.body.append(d);
  d.showModal();
  d.querySelector<HTMLElement>('.choices button')?.focus({ preventScroll: true });
  d.scrollTop = 0;
}
