// Finding words in a notebook: in what is written and in what cells show as text.

import type { Cell, Document } from './document.ts';
import { joined } from './document.ts';
import { button, el } from './dom.ts';
import { say } from './status.ts';

export interface Hit { cell: string; from: number; to: number; inOutput: boolean }

/** hits gives all places, in the order in which they stand; capital letters count as small ones. */
export function hits(cells: Cell[], words: string): Hit[] {
  const out: Hit[] = [], want = words.toLowerCase();
  if (want === '') return out;
  for (const c of cells) {
    const text = c.source.toLowerCase();
    for (let at = text.indexOf(want); at >= 0; at = text.indexOf(want, at + want.length)) out.push({ cell: c.id, from: at, to: at + want.length, inOutput: false });
    if (c.outputs.some(o => shownText(o).toLowerCase().includes(want))) out.push({ cell: c.id, from: 0, to: 0, inOutput: true });
  }
  return out;
}

const shownText = (o: Record<string, any>): string => joined(o.text ?? '') + joined(o.data?.['text/plain'] ?? '') + String(o.evalue ?? '');

export class Find {
  readonly element: HTMLElement;
  private input = el('input', { type: 'search', 'aria-label': 'Find in this notebook', spellcheck: false });
  private count = el('span', { class: 'quiet' });
  private at = -1;

  constructor(private doc: Document, private go: (h: Hit) => void, private left: () => void) {
    this.element = el('div', { class: 'find', role: 'search', hidden: true }, this.input, this.count,
      button('Previous', () => this.step(-1)), button('Next', () => this.step(1)), button('Close', () => this.close(), { class: 'plain' }));
    this.input.addEventListener('input', () => { this.at = -1; this.step(1, true); });
    this.element.addEventListener('keydown', e => {
      if (e.key === 'Escape') { e.preventDefault(); this.close(); }
      if (e.key === 'Enter') { e.preventDefault(); this.step(e.shiftKey ? -1 : 1); }
    });
  }

  open(): void {
    this.element.hidden = false;
    this.input.focus();
    this.input.select();
  }

  get isOpen(): boolean { return !this.element.hidden; }

  close(): void {
    this.element.hidden = true;
    this.left();
  }

  private step(by: number, typing = false): void {
    const all = hits(this.doc.cells, this.input.value);
    if (all.length === 0) {
      this.count.textContent = this.input.value ? 'not found' : '';
      if (this.input.value) say('Not found.');
      return;
    }
    this.at = (this.at + by + all.length) % all.length;
    const n = all.filter(h => h.inOutput).length;
    this.count.textContent = `${this.at + 1} of ${all.length}${n ? `, ${n} in what cells show` : ''}`;
    say(this.count.textContent);
    this.go(all[this.at]!);
    if (typing || document.activeElement !== this.input) this.input.focus();
  }
}
