// A list of things to do, under the button that opens it: arrows move, Escape
// leaves, and focus goes back to the button.

import { button, el } from './dom.ts';

export interface Item { words: string; keys?: string; act: () => void; off?: boolean; ticked?: boolean }

let open: { list: HTMLElement; from: HTMLElement } | null = null;

export function close(): void {
  if (!open) return;
  const { list, from } = open;
  open = null;
  list.remove();
  from.setAttribute('aria-expanded', 'false');
}

/** menu shows items; pressing its button again closes it. */
export function menu(from: HTMLElement, name: string, items: (Item | null)[]): void {
  const again = open?.from === from;
  close();
  if (again) return;
  const list = el('div', { class: 'menu', role: 'menu', 'aria-label': name });
  for (const i of items) {
    if (!i) { list.append(el('hr', { role: 'separator' })); continue; }
    const b = button('', () => { close(); from.focus(); i.act(); }, { role: i.ticked === undefined ? 'menuitem' : 'menuitemcheckbox', tabIndex: -1, disabled: i.off === true });
    if (i.ticked !== undefined) b.setAttribute('aria-checked', String(i.ticked));
    b.append(el('span', {}, `${i.ticked ? '\u2713 ' : ''}${i.words}`), i.keys ? el('kbd', {}, i.keys) : '');
    list.append(b);
  }
  const buttons = Array.from(list.querySelectorAll<HTMLButtonElement>('button:not(:disabled)'));
  list.addEventListener('keydown', e => {
    const at = buttons.indexOf(document.activeElement as HTMLButtonElement);
    const to: Record<string, number> = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: buttons.length - 1 };
    if (e.key in to) buttons[(to[e.key]! + buttons.length) % buttons.length]?.focus();
    else if (e.key === 'Escape' || e.key === 'Tab') { close(); from.focus(); }
    else if (/^\p{L}$/u.test(e.key)) buttons.find((b, i) => i > at && b.textContent!.toLowerCase().startsWith(e.key.toLowerCase()))?.focus();
    else return;
    e.preventDefault();
    e.stopPropagation();
  });
  // In the head, so that it belongs to a landmark and no cell's box cuts it off.
  (document.querySelector('header.top') ?? document.body).append(list);
  const r = from.getBoundingClientRect(), room = document.documentElement.clientWidth;
  list.style.top = `${Math.min(r.bottom + 4, Math.max(8, window.innerHeight - list.offsetHeight - 8))}px`;
  list.style.left = `${Math.max(8, Math.min(r.left, room - list.offsetWidth - 8))}px`;
  from.setAttribute('aria-expanded', 'true');
  open = { list, from };
  buttons[0]?.focus();
}

document.addEventListener('pointerdown', e => {
  if (open && !open.list.contains(e.target as Node) && !open.from.contains(e.target as Node)) close();
});
