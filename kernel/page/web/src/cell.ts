// One cell on the page: its text, its buttons, what it shows.

import { again, bundle, one, viewType, type Widgets } from './output.ts';
import type { Cell, Output } from './document.ts';
import { button, el, reconcile } from './dom.ts';
import { Editor, still, type Asker } from './editor.ts';
import { render, type Heading } from './markdown.ts';
import type { Doing } from './runner.ts';
import type { Mark } from './stale.ts';

export interface Owner {
  asker: Asker;
  widgets: Widgets;
  nonce: string;
  numbers: boolean;
  state(id: string): Doing;
  mark(id: string): Mark;
  ranHere(id: string): boolean;
  place(id: string): { at: number; of: number };
  run(id: string): void;
  typed(cell: Cell, text: string): void;
  selected(id: string): void;
  editorKeys(view: CellView): { key: string; run: () => boolean }[];
  menu(id: string, from: HTMLElement): void;
  addBelow(id: string): void;
  setMetadata(cell: Cell, metadata: Record<string, any>): void;
}

/** Outputs far down wait until the page has time, or until one scrolls near: a notebook with hundreds of pictures opens
 * at once, and is whole a moment later. */
const waiting = new Set<CellView>();
/** How many cells are drawn whole at once. Assumed: more than any window shows. */
const atOnce = 12;
const near = new IntersectionObserver(seen => {
  for (const s of seen) {
    const view = s.isIntersecting && Array.from(waiting).find(v => v.element === s.target);
    if (view) view.drawWaiting();
  }
}, { rootMargin: '1000px 0px' });

function whenIdle(): void {
  const idle = window.requestIdleCallback ?? ((f: (d: { timeRemaining(): number }) => void) => window.setTimeout(() => f({ timeRemaining: () => 10 }), 50));
  idle(d => {
    for (const view of waiting) {
      if (d.timeRemaining() < 3) break;
      view.drawWaiting();
    }
    if (waiting.size > 0) whenIdle();
  });
}

window.addEventListener('beforeprint', () => { for (const view of Array.from(waiting)) view.drawWaiting(); });

export class CellView {
  readonly element: HTMLElement;
  headings: Heading[] = [];
  editor: Editor | null = null;
  private input = el('div', { class: 'input' });
  private outputs = el('div', { class: 'outputs' });
  private note = el('span', { class: 'note' });
  private runButton: HTMLButtonElement;
  private fold: HTMLButtonElement;
  private shown = new Map<Output, HTMLElement>();
  private text: string | null = null;
  private kindShown = '';
  private frame = 0;
  /** Outputs are still put off. */
  private late: boolean;
  editing = false;

  constructor(public cell: Cell, private owner: Owner) {
    this.late = owner.place(cell.id).at > atOnce;
    this.runButton = button('Run', () => owner.run(this.cell.id), { class: 'run' });
    this.fold = button('', () => this.toggleFold(), { class: 'fold plain' });
    const more = button('More', e => owner.menu(this.cell.id, e.currentTarget as HTMLElement), { class: 'plain', 'aria-haspopup': 'true' });
    const add = button('Add below', () => owner.addBelow(this.cell.id), { class: 'plain' });
    const side = el('div', { class: 'side' }, this.runButton, this.note);
    const tools = el('div', { class: 'tools' }, this.fold, add, more);
    this.element = el('div', { class: 'cell', role: 'group', tabIndex: -1 }, side, el('div', { class: 'middle' }, this.input, this.outputs), tools);
    this.element.dataset.cell = cell.id;
    this.element.addEventListener('focusin', () => owner.selected(this.cell.id));
    this.element.addEventListener('pointerdown', () => owner.selected(this.cell.id));
    this.input.addEventListener('dblclick', () => { if (!this.editing) this.edit(); });
    this.input.addEventListener('click', () => { if (!this.editing && this.cell.kind === 'code' && !String(getSelection() ?? '')) this.edit(); });
    this.update();
  }

  get folded(): boolean { return this.cell.metadata.jupyter?.source_hidden === true; }

  private toggleFold(): void {
    const { jupyter, ...rest } = this.cell.metadata, { source_hidden, ...own } = jupyter ?? {};
    const next = source_hidden ? own : { ...own, source_hidden: true };
    this.owner.setMetadata(this.cell, Object.keys(next).length > 0 ? { ...rest, jupyter: next } : rest);
  }

  /** update brings the page in step with the cell. */
  update(): void {
    const c = this.cell, e = this.element;
    if (c.kind !== this.kindShown) {
      this.leave();
      this.text = null;
      this.kindShown = c.kind;
      e.classList.toggle('code', c.kind === 'code');
      e.classList.toggle('markdown', c.kind === 'markdown');
      e.classList.toggle('raw', c.kind === 'raw');
    }
    e.classList.toggle('folded', this.folded && c.kind === 'code');
    this.fold.hidden = c.kind !== 'code' || (!this.folded && !document.body.classList.contains('presenting'));
    this.fold.textContent = this.folded ? 'Show the code' : 'Hide the code';
    if (this.editor) this.editor.set(c.source);
    else if (this.text !== c.source) this.rest();
    this.status();
    this.drawOutputs();
  }

  /** rest shows the text as it stands. */
  private rest(): void {
    this.text = this.cell.source;
    if (this.cell.kind === 'markdown') {
      const r = render(this.text);
      this.headings = r.headings;
      const box = el('div', { class: 'text' }, r.body);
      if (this.text.trim() === '') box.append(el('p', { class: 'quiet' }, 'Empty text: Enter or a double click to write.'));
      this.input.replaceChildren(box);
      return;
    }
    this.headings = [];
    this.input.replaceChildren(still(this.cell.kind, this.text, this.owner.numbers));
  }

  redraw(): void { this.text = null; if (!this.editor) this.rest(); this.editor?.numbers(this.owner.numbers); }

  edit(at?: 'start' | 'end'): void {
    if (this.folded && this.cell.kind === 'code') this.toggleFold();
    if (!this.editor) {
      this.editor = new Editor(this.cell.source, {
        kind: this.cell.kind, label: `text of ${this.name()}`, numbers: this.owner.numbers, nonce: this.owner.nonce, asker: this.owner.asker,
        changed: t => this.owner.typed(this.cell, t), keys: this.owner.editorKeys(this),
      });
      this.input.replaceChildren(this.editor.view.dom);
    }
    this.editing = true;
    this.element.classList.add('editing');
    this.editor.focus();
    if (at) { const n = at === 'start' ? 0 : this.editor.text.length; this.editor.select(n, n); }
  }

  /** leave ends editing; the text is shown as it will be read. */
  leave(): void {
    this.editing = false;
    this.element.classList.remove('editing');
    if (!this.editor) return;
    const had = this.editor.view.dom.contains(document.activeElement);
    this.editor.destroy();
    this.editor = null;
    this.text = null;
    this.rest();
    if (had) this.element.focus({ preventScroll: true });
  }

  name(): string {
    const { at, of } = this.owner.place(this.cell.id);
    return `${this.cell.kind === 'code' ? 'code' : this.cell.kind === 'markdown' ? 'text' : 'raw'} cell ${at} of ${of}`;
  }

  /** status says beside the cell, and to listeners, how it stands. */
  status(): void {
    const c = this.cell, doing = this.owner.state(c.id), mark = this.owner.mark(c.id);
    const e = this.element;
    e.classList.toggle('running', doing === 'running');
    e.classList.toggle('waiting', doing === 'waiting');
    e.classList.toggle('stale', mark !== '');
    let said = '';
    if (c.kind === 'code') {
      if (doing === 'running') said = 'running';
      else if (doing === 'waiting') said = 'waiting';
      else if (mark === 'edited') said = 'edited since it ran';
      else if (mark === 'inputs') said = 'rests on a cell that changed';
      else if (c.count !== null && c.outputs.length >= 0) said = this.owner.ranHere(c.id) ? `ran ${c.count}` : 'from before';
    }
    this.note.textContent = said;
    this.note.title = said === 'from before' ? 'What this shows was saved; run the cell to use its controls and names.' : '';
    const name = this.name();
    e.setAttribute('aria-label', said ? `${name}, ${said}` : name);
    this.runButton.hidden = c.kind !== 'code';
    this.runButton.setAttribute('aria-label', `Run ${name}`);
    this.runButton.disabled = doing !== 'still';
  }

  /** Outputs may come by the hundred: the page draws once a frame. */
  outputsChanged(): void {
    this.late = false; // it runs now: what it shows is wanted now
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => { this.frame = 0; this.drawOutputs(); });
  }

  /** drawWaiting draws what was put off. */
  drawWaiting(): void {
    waiting.delete(this);
    near.unobserve(this.element);
    this.late = false;
    this.drawOutputs();
  }

  private putOff(): void {
    if (waiting.size === 0) whenIdle();
    waiting.add(this);
    near.observe(this.element);
  }

  private drawOutputs(): void {
    const outputs = this.cell.kind === 'code' ? this.cell.outputs : [];
    if (this.late && outputs.length > 0) return this.putOff();
    if (outputs.length === this.shown.size && outputs.every(o => this.shown.has(o))) return;
    // The place keeps its height for a moment, so that nothing below jumps while a cell runs again.
    const height = outputs.length === 0 ? this.outputs.offsetHeight : 0;
    const before = [...this.shown], kept = new Set(outputs);
    this.shown = new Map(outputs.map((o, i) => [o, this.shown.get(o) ?? this.changed(before[i], o, kept) ?? el('div', { class: 'output' }, one(o, this.owner.widgets))]));
    this.outputs.style.minHeight = height > 0 ? `${height}px` : '';
    if (height > 0) window.setTimeout(() => { this.outputs.style.minHeight = ''; }, 600);
    reconcile(this.outputs, [...this.shown.values()]);
  }

  /** changed gives the element of what stood in the same place, changed to what stands there now, if that can be. */
  private changed(before: [Output, HTMLElement] | undefined, now: Output, kept: Set<Output>): HTMLElement | null {
    return before && !kept.has(before[0]) && again(before[1], before[0], now) ? before[1] : null;
  }

  /** drawControls draws again what has controls: the kernel's have come or gone. */
  drawControls(): void {
    for (const [o, e] of this.shown) {
      const data = (o.data ?? {}) as Record<string, any>;
      if (data[viewType]) e.replaceChildren(bundle(data, {}, this.owner.widgets));
    }
  }
}
