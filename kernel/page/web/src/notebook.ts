// A notebook on the page: the pieces put together.

import * as api from './api.ts';
import { CellView, type Owner } from './cell.ts';
import { choose, tell } from './dialog.ts';
import { copyOf, Document, newCell, type Cell, type Change, type Kind, type NotebookData } from './document.ts';
import { button, download, el, reconcile } from './dom.ts';
import type { Asker } from './editor.ts';
import { Find, type Hit } from './find.ts';
import { Kernel, type Message } from './kernel.ts';
import { bindings, Keys, type Verb } from './keys.ts';
import { menu } from './menu.ts';
import { bundle } from './output.ts';
import { Runner } from './runner.ts';
import { Saver } from './saver.ts';
import { marks, type Mark } from './stale.ts';
import { failed, hide, say, show } from './status.ts';
import { pickTheme } from './theme.ts';
import { Controls } from './widgets.ts';

/** Cells cut or copied, for all notebooks of this page. */
let clipboard: Cell[] = [];

export class NotebookPage implements Owner {
  readonly element = el('div', { class: 'notebook' });
  readonly doc: Document;
  readonly nonce = document.querySelector<HTMLMetaElement>('meta[name="csp-nonce"]')?.content ?? '';
  numbers = localStorage.getItem('numbers') === 'on';
  private views = new Map<string, CellView>();
  private list = el('div', { class: 'cells' });
  private kernel: Kernel;
  private runner: Runner;
  private controls: Controls;
  private saver: Saver;
  private keys = new Keys();
  private find: Find;
  private current = '';
  private also = new Set<string>();
  private markOf = new Map<string, Mark>();
  private markTimer: number | undefined;
  private outline = el('nav', { class: 'outline', 'aria-label': 'Outline', hidden: true });
  private head: HTMLElement;
  private title = el('h1', { class: 'name' });
  private saved = el('span', { class: 'quiet' });
  private kernelSaid = el('span', { class: 'kernel quiet' });
  private stop: HTMLButtonElement;
  private banner = el('div', { class: 'banner', role: 'region', 'aria-label': 'Connection', hidden: true });
  private begin = el('div', { class: 'begin', hidden: true });
  private unlisten: () => void;

  constructor(private entry: api.Entry, data: NotebookData, private start: api.Start, private leavePage: () => void) {
    this.doc = new Document(data);
    this.kernel = new Kernel(entry.path);
    this.runner = new Runner(this.doc, this.kernel);
    this.controls = new Controls(this.kernel);
    this.saver = new Saver(this.doc, entry.path, entry.hash ?? '', entry.writable);
    this.find = new Find(this.doc, h => this.goTo(h), () => this.focusCell());
    this.stop = button('Stop', () => void this.kernel.interrupt().catch(failed), { class: 'stop' });
    this.head = this.header();
    this.element.append(this.head, this.find.element, this.banner, el('div', { class: 'sheet' }, this.outline,
      el('main', { id: 'content', tabIndex: -1 }, el('p', { class: 'caution', role: 'note' }, start.caution), this.begin, this.list,
        el('div', { class: 'after' }, button('Add code', () => this.insert(this.doc.cells.length, 'code')), button('Add text', () => this.insert(this.doc.cells.length, 'markdown'))))));
    this.wire();
    this.current = this.doc.cells[0]!.id;
    this.drawCells();
    this.unlisten = api.listen(e => this.saver.heard(e));
    void this.kernel.connect();
    void this.offerDraft();
  }

  private wire(): void {
    this.doc.observe(c => this.changed(c));
    this.kernel.heard = m => this.heard(m);
    this.kernel.changed = () => this.kernelChanged();
    this.kernel.fresh = () => {
      this.runner.forget();
      this.controls.forget();
      for (const v of this.views.values()) v.drawControls();
    };
    this.controls.appeared = () => { for (const v of this.views.values()) v.drawControls(); };
    this.runner.changed = id => { this.views.get(id)?.status(); this.kernelChanged(); this.markSoon(); this.showBegin(); };
    this.saver.changed = () => this.savedChanged();
    this.saver.theirs = f => { this.doc.replace(f.content); show('Another tab or program saved this notebook; this is its version.', [{ words: 'Undo', act: () => this.doc.undo() }]); };
    this.saver.moved = p => { this.entry = { ...this.entry, path: p, name: p.split('/').pop()!, built_in: false }; this.kernel.moved(p); history.replaceState(null, '', `/open/${p.split('/').map(encodeURIComponent).join('/')}`); this.titleChanged(); };
    document.addEventListener('keydown', this.keydown, true);
  }

  close(): void {
    document.removeEventListener('keydown', this.keydown, true);
    this.unlisten();
    void this.saver.save();
    this.kernel.close();
    for (const v of this.views.values()) v.leave();
  }

  // The head of the page.

  private header(): HTMLElement {
    const b = button;
    this.titleChanged();
    this.savedChanged();
    this.kernelChanged();
    return el('header', { class: 'top' },
      el('div', { class: 'line' }, b('All notebooks', () => this.leavePage(), { class: 'plain' }), this.title, this.saved, this.kernelSaid),
      el('div', { class: 'line buttons', role: 'toolbar', 'aria-label': 'Notebook' },
        b('Run', () => this.act('runNext'), { class: 'main writing', title: 'Run this cell and go to the next (Shift-Enter)' }),
        b('Run all', () => this.runAll()), this.stop,
        b('Run anew', () => void this.restartAndRun(), { class: 'writing', title: 'Start the kernel anew and run all cells' }),
        b('Add cell', () => this.act('below'), { class: 'writing' }), b('Undo', () => this.act('undo'), { class: 'writing' }), b('Find', () => this.find.open()),
        b('Outline', () => this.toggleOutline(), { 'aria-expanded': 'false', class: 'outline-button writing' }), b('Present', () => this.present(true)),
        b('Keys', () => this.help(), { class: 'writing', title: 'Keyboard (h)' }), b('More', e => this.more(e.currentTarget as HTMLElement), { 'aria-haspopup': 'true' })),
      el('div', { class: 'line leave-presenting' }, b('Leave presenting', () => this.present(false))));
  }

  private titleChanged(): void {
    const name = this.entry.name.replace(/\.ipynb$/, '');
    this.title.textContent = name;
    document.title = `${name} - tautline`;
  }

  private savedChanged(): void {
    const words = { saved: 'saved', changed: 'not saved yet', saving: 'saving', conflict: 'changed elsewhere', failed: 'not saved' };
    const s = this.saver?.state ?? 'saved';
    this.saved.textContent = this.entry.built_in && s === 'saved' && !this.doc.dirty ? 'a lesson; your changes are kept as a copy' : words[s];
    if (s === 'saved' && this.entry.built_in && this.doc.savedRevision > 0) this.entry = { ...this.entry, built_in: false };
  }

  private busyTimer: number | undefined;

  /** What a slider asks for is done before anybody could read that it is being done; only if it takes longer, it is said. */
  private kernelChanged(late = false): void {
    const k = this.kernel;
    window.clearTimeout(this.busyTimer);
    if (k.state === 'busy' && !late && !this.runner.busy && this.kernelSaid.dataset.state === 'ready') {
      this.busyTimer = window.setTimeout(() => this.kernelChanged(true), 200);
      return;
    }
    const text = k.link === 'lost' ? 'no connection' : k.link === 'connecting' ? 'connecting' : ({ busy: 'running', idle: 'ready', starting: 'starting', restarting: 'starting anew', dead: 'ended' } as Record<string, string>)[k.state] ?? k.state;
    const before = this.kernelSaid.textContent;
    if (text !== before) this.kernelSaid.textContent = this.kernelSaid.dataset.state = text;
    if (this.stop) this.stop.disabled = k.state !== 'busy';
    const lost = k.link === 'lost';
    if (lost && this.banner.hidden) {
      this.banner.replaceChildren('The program that serves this page does not answer. What you type is kept; the page connects again by itself. If tautline was stopped, start it again.');
      this.banner.hidden = false;
      say(this.banner.textContent ?? '');
    }
    if (!lost && k.link === 'connected' && !this.banner.hidden) {
      this.banner.hidden = true;
      show('Connected again.');
      void this.saver.back();
    }
    if (k.link === 'connected' && k.state === 'idle' && before === 'connecting') this.askControls();
    if (k.state === 'dead') show('The kernel has ended. What cells showed stays; what they knew is gone.', [{ words: 'Start it again', act: () => void this.kernel.connect() }], true);
  }

  private asked = false;
  private askControls(): void {
    if (this.asked) return;
    this.asked = true;
    try { this.controls.ask(); } catch { this.asked = false; }
  }

  private async offerDraft(): Promise<void> {
    if (!this.start.drafts.includes(this.entry.path)) return;
    const d = await api.draft(this.entry.path).catch(() => null);
    if (!d) return;
    const when = new Date(d.when).toLocaleString();
    const what = await choose('Not saved last time', [`There are changes of ${when} that were not saved when the page or the program ended.`],
      [{ words: 'Bring them back', value: 'back', main: true }, { words: 'Throw them away', value: 'drop' }]);
    if (what === 'back') this.doc.replace(d.content);
    if (what === 'drop') await api.dropDraft(this.entry.path);
    this.start.drafts = this.start.drafts.filter(p => p !== this.entry.path);
  }

  // Messages.

  private heard(m: Message): void {
    this.controls.heard(m);
    this.runner.heard(m);
  }

  readonly asker: Asker = {
    complete: async (code, cursor) => {
      const r = await this.kernel.ask('shell', 'complete_request', { code, cursor_pos: cursor });
      if (r.content.status !== 'ok') return null;
      const kinds = (r.content.metadata?._jupyter_types_experimental ?? []) as { type?: string }[];
      return { matches: r.content.matches, start: r.content.cursor_start, end: r.content.cursor_end, kinds: r.content.matches.map((_: string, i: number) => kinds[i]?.type) };
    },
    inspect: async (code, cursor) => {
      const r = await this.kernel.ask('shell', 'inspect_request', { code, cursor_pos: cursor, detail_level: 0 });
      return r.content.found ? bundle(r.content.data, r.content.metadata ?? {}, () => null) : null;
    },
  };

  readonly widgets = (id: string): HTMLElement | null => this.controls.view(id);

  // What cells ask of the notebook.

  state(id: string) { return this.runner.state(id); }
  mark(id: string): Mark { return this.markOf.get(id) ?? ''; }
  ranHere(id: string): boolean { return this.runner.ran.has(id); }
  place(id: string) { return { at: this.doc.index(id) + 1, of: this.doc.cells.length }; }
  run(id: string): void { this.select(id); this.runCells([id]); }
  typed(cell: Cell, text: string): void { this.doc.setSource(cell, text, this.views.get(cell.id)); }
  setMetadata(cell: Cell, metadata: Record<string, any>): void { this.doc.setMetadata(cell, metadata); }
  addBelow(id: string): void { this.insert(this.doc.index(id) + 1, 'code'); }
  selected(id: string): void { if (id !== this.current) this.select(id, false); }

  editorKeys(view: CellView): { key: string; run: () => boolean }[] {
    const does = (f: () => void) => () => { f(); return true; };
    return [
      { key: 'Escape', run: does(() => { view.leave(); view.element.focus(); }) },
      { key: 'Mod-m', run: does(() => { view.leave(); view.element.focus(); }) },
      { key: 'Shift-Tab', run: does(() => void this.explain(view)) },
      { key: 'Mod-Shift--', run: does(() => this.split(view)) }, { key: 'Mod-Shift-_', run: does(() => this.split(view)) },
      { key: 'ArrowUp', run: () => view.editor!.atStart && this.step(-1, 'end') },
      { key: 'ArrowDown', run: () => view.editor!.atEnd && this.step(1, 'start') },
    ];
  }

  private step(by: number, at: 'start' | 'end'): boolean {
    const to = this.doc.cells[this.doc.index(this.current) + by];
    if (!to) return false;
    this.views.get(this.current)?.leave();
    this.select(to.id);
    if (to.kind === 'code') this.views.get(to.id)?.edit(at);
    return true;
  }

  private async explain(view: CellView): Promise<void> {
    const e = view.editor;
    if (!e) return;
    const chars = Array.from(e.text.slice(0, e.cursor)).length;
    const shown = await this.asker.inspect(e.text, chars).catch(() => null);
    if (shown) tell('What it means', [el('div', {}, shown)]);
    else show('There is nothing to tell about this place: put the cursor on a word.');
  }

  private split(view: CellView): void {
    const e = view.editor;
    if (!e) return;
    const id = view.cell.id, at = e.cursor;
    view.leave();
    this.doc.split(id, at);
  }

  // The list of cells.

  private drawCells(): void {
    const wanted: CellView[] = this.doc.cells.map(c => {
      let v = this.views.get(c.id);
      if (!v) this.views.set(c.id, v = new CellView(c, this));
      v.cell = c;
      return v;
    });
    for (const [id, v] of this.views) if (!this.doc.find(id)) { v.leave(); this.views.delete(id); }
    reconcile(this.list, wanted.map(v => v.element));
    for (const v of wanted) v.update();
    if (!this.doc.find(this.current)) this.current = this.doc.cells[0]!.id;
    this.showSelected();
    this.drawOutline();
    this.showBegin();
    this.markSoon();
  }

  private changed(c: Change): void {
    switch (c.kind) {
      case 'cells':
        this.drawCells();
        if (c.focus && this.doc.find(c.focus)) this.select(c.focus);
        break;
      case 'source': {
        const v = this.views.get(c.cell.id);
        if (c.from !== v) v?.update();
        v?.status();
        this.markSoon();
        break;
      }
      case 'outputs': {
        const v = this.views.get(c.cell.id);
        v?.outputsChanged();
        v?.status();
        break;
      }
      case 'type':
        this.views.get(c.cell.id)?.update();
        this.showBegin();
        break;
    }
    if (c.kind !== 'saved') this.savedChanged();
  }

  select(id: string, focus = true): void {
    this.current = id;
    this.also.clear();
    this.showSelected();
    if (focus) this.focusCell();
  }

  private focusCell(): void {
    const v = this.views.get(this.current);
    if (!v || v.editing) return;
    v.element.focus({ preventScroll: true });
    v.element.scrollIntoView({ block: 'nearest' });
  }

  private showSelected(): void {
    for (const [id, v] of this.views) {
      const on = id === this.current;
      v.element.tabIndex = on ? 0 : -1;
      v.element.classList.toggle('selected', on || this.also.has(id));
      if (on || this.also.has(id)) v.element.setAttribute('aria-current', 'true');
      else v.element.removeAttribute('aria-current');
      if (!on && v.editing) v.leave();
    }
  }

  private get chosen(): Cell[] { return this.doc.cells.filter(c => c.id === this.current || this.also.has(c.id)); }

  private insert(at: number, kind: Kind): void {
    const c = newCell(kind);
    this.doc.insert(at, c);
    this.select(c.id);
    this.views.get(c.id)?.edit();
  }

  private markSoon(): void {
    window.clearTimeout(this.markTimer);
    this.markTimer = window.setTimeout(() => void this.drawMarks(), 250);
  }

  private async drawMarks(): Promise<void> {
    if (this.runner.ran.size === 0 && this.markOf.size === 0) return;
    const cells = [...this.doc.cells];
    const names = await api.names(cells.map(c => c.kind === 'code' ? c.source : '')).catch(() => null);
    if (!names) return;
    this.markOf = marks(cells, names, this.runner.ran);
    for (const v of this.views.values()) v.status();
  }

  // Running.

  private runCells(ids: string[]): void {
    const cells = ids.map(id => this.doc.find(id)!).filter(Boolean);
    for (const c of cells) if (c.kind !== 'code') this.views.get(c.id)?.leave();
    try { this.runner.run(cells); } catch (e) { failed(e); }
  }

  private runAll(): void { this.runCells(this.doc.cells.map(c => c.id)); }
  private runAbove(): void { this.runCells(this.doc.cells.slice(0, this.doc.index(this.current)).map(c => c.id)); }
  private runBelow(): void { this.runCells(this.doc.cells.slice(this.doc.index(this.current)).map(c => c.id)); }

  private async restart(ask = true): Promise<boolean> {
    if (ask && this.runner.ran.size > 0) {
      const yes = await choose('Start anew', ['What the cells have worked out so far is forgotten. What you wrote and what they show stays.'], [{ words: 'Start anew', value: 'yes', main: true }]);
      if (!yes) return false;
    }
    try { await this.kernel.restart(); return true; } catch (e) { failed(e); return false; }
  }

  private async restartAndRun(): Promise<void> {
    if (await this.restart(false)) { this.doc.clearOutputs(); this.runAll(); }
  }

  /** A notebook whose code is all folded away is a form: one button starts it. */
  private showBegin(): void {
    const code = this.doc.cells.filter(c => c.kind === 'code' && c.source.trim() !== '');
    const form = code.length > 0 && code.every(c => c.metadata.jupyter?.source_hidden === true);
    this.element.classList.toggle('form', form);
    this.begin.hidden = !form || this.runner.ran.size > 0;
    if (form && this.begin.childElementCount === 0) {
      this.begin.append(button('Start', () => this.startForm(), { class: 'main' }), el('span', {}, 'Shows the form below. Nothing runs before.'));
    }
  }

  /** startForm runs all and goes to the first part of the form, which is below the window on a phone. */
  private startForm(): void {
    this.runAll();
    const first = this.doc.cells.find(c => c.kind === 'code')!;
    this.select(first.id, false);
    const e = this.views.get(first.id)!.element;
    e.focus({ preventScroll: true });
    e.scrollIntoView({ block: 'start' });
  }

  // Doing what keys and buttons ask.

  private keydown = (e: KeyboardEvent): void => {
    if (document.querySelector('dialog[open], .menu')) return;
    const v = this.keys.anywhere(e);
    const inside = this.list.contains(e.target as Node) || e.target === document.body;
    if (v === 'find' && this.find.isOpen) return; // a second time it is the browser's own
    if (v && (v === 'save' || v === 'find' || inside)) {
      e.preventDefault();
      e.stopPropagation();
      this.act(v);
      return;
    }
    if (document.body.classList.contains('presenting') && e.key === 'Escape') { this.present(false); return; }
    if (!(e.target as HTMLElement).classList?.contains('cell') && e.target !== document.body) return;
    const on = this.keys.onCell(e);
    if (!on) return;
    e.preventDefault();
    this.act(on);
  };

  act(v: Verb): void {
    const doc = this.doc, id = this.current, at = doc.index(id), view = this.views.get(id);
    switch (v) {
      case 'runNext':
        view?.leave();
        this.runCells(this.chosen.map(c => c.id));
        if (at === doc.cells.length - 1) this.insert(at + 1, 'code');
        else this.select(doc.cells[at + 1]!.id);
        return;
      case 'runStay': view?.leave(); this.runCells(this.chosen.map(c => c.id)); return this.focusCell();
      case 'runAdd': view?.leave(); this.runCells([id]); return this.insert(at + 1, 'code');
      case 'save': return void this.saver.save(true).then(() => { if (this.saver.state === 'saved') say('Saved.'); });
      case 'find': return this.find.open();
      case 'edit': return view?.edit();
      case 'up': case 'down': { const to = doc.cells[at + (v === 'up' ? -1 : 1)]; if (to) this.select(to.id); return; }
      case 'first': return this.select(doc.cells[0]!.id);
      case 'last': return this.select(doc.cells[doc.cells.length - 1]!.id);
      case 'moreUp': case 'moreDown': return this.extend(v === 'moreUp' ? -1 : 1);
      case 'above': return this.insert(at, 'code');
      case 'below': return this.insert(at + 1, 'code');
      case 'delete': return this.remove();
      case 'undo': if (!doc.undo()) show('There is no change of cells to undo.'); return;
      case 'redo': if (!doc.redo()) show('There is no change of cells to bring back.'); return;
      case 'cut': clipboard = this.chosen.map(copyOf); return this.remove();
      case 'copy': clipboard = this.chosen.map(copyOf); return say(`${clipboard.length} copied.`);
      case 'paste': if (clipboard.length > 0) doc.insert(at + 1, ...clipboard.map(copyOf)); return;
      case 'markdown': case 'code': case 'raw': view?.leave(); for (const c of this.chosen) doc.setKind(c.id, v); return;
      case 'merge': view?.leave(); if (!doc.merge(id)) show('There is no cell below to join with.'); return;
      case 'moveUp': case 'moveDown': doc.move(id, v === 'moveUp' ? -1 : 1); return this.focusCell();
      case 'numbers': return this.toggleNumbers();
      case 'stop': return void this.kernel.interrupt().catch(failed);
      case 'restart': return void this.restart();
      case 'help': return this.help();
    }
  }

  private extend(by: number): void {
    const to = this.doc.cells[this.doc.index(this.current) + by];
    if (!to) return;
    const also = new Set(this.also);
    if (also.has(to.id)) also.delete(this.current);
    else also.add(this.current);
    also.add(to.id);
    this.current = to.id;
    this.also = also;
    this.showSelected();
    this.focusCell();
  }

  private remove(): void {
    const gone = this.doc.remove(this.chosen.map(c => c.id));
    show(gone.length === 1 ? 'The cell was deleted.' : `${gone.length} cells were deleted.`, [{ words: 'Undo', act: () => this.act('undo') }]);
  }

  private toggleNumbers(): void {
    this.numbers = !this.numbers;
    localStorage.setItem('numbers', this.numbers ? 'on' : 'off');
    for (const v of this.views.values()) v.redraw();
  }

  private goTo(h: Hit): void {
    this.select(h.cell, false);
    const v = this.views.get(h.cell)!;
    v.element.scrollIntoView({ block: 'center' });
    if (!h.inOutput && v.cell.kind === 'code' && !v.folded) { v.edit(); v.editor?.select(h.from, h.to); }
  }

  // More.

  menu(id: string, from: HTMLElement): void {
    this.select(id, false);
    const c = this.doc.find(id)!, on = (v: Verb) => () => this.act(v), last = this.doc.cells.length - 1, at = this.doc.index(id);
    menu(from, 'Cell', [
      { words: 'Write', keys: 'Enter', act: on('edit') }, { words: 'Move up', keys: 'Ctrl-Shift-\u2191', act: on('moveUp'), off: at === 0 },
      { words: 'Move down', keys: 'Ctrl-Shift-\u2193', act: on('moveDown'), off: at === last }, null,
      { words: 'Add code above', keys: 'a', act: on('above') }, { words: 'Add code below', keys: 'b', act: on('below') },
      { words: 'Add text below', act: () => this.insert(at + 1, 'markdown') }, null,
      { words: 'Cut', keys: 'x', act: on('cut') }, { words: 'Copy', keys: 'c', act: on('copy') },
      { words: 'Paste below', keys: 'v', act: on('paste'), off: clipboard.length === 0 },
      { words: 'Split in two', keys: 'Ctrl-Shift--', act: () => this.splitHere(id) }, { words: 'Join with the cell below', keys: 'Shift-M', act: on('merge'), off: at === last }, null,
      { words: 'Make it code', keys: 'y', act: on('code'), off: c.kind === 'code' }, { words: 'Make it text', keys: 'm', act: on('markdown'), off: c.kind === 'markdown' },
      { words: this.views.get(id)?.folded ? 'Show the code' : 'Fold the code away', act: () => this.foldCell(c), off: c.kind !== 'code' }, null,
      { words: 'Delete', keys: 'd d', act: on('delete') },
    ]);
  }

  private foldCell(c: Cell): void {
    const hidden = c.metadata.jupyter?.source_hidden === true;
    this.doc.setMetadata(c, { ...c.metadata, jupyter: { ...c.metadata.jupyter, source_hidden: !hidden } });
  }

  /** splitHere cuts where the cursor is, or in the middle of the lines when nobody writes in the cell. */
  private splitHere(id: string): void {
    const v = this.views.get(id)!;
    if (v.editor) return this.split(v);
    const text = v.cell.source, lines = text.split('\n');
    if (lines.length < 2) return show('There is one line only: go into the cell and put the cursor where it is to be cut.');
    this.doc.split(id, lines.slice(0, Math.ceil(lines.length / 2)).join('\n').length);
  }

  private more(from: HTMLElement): void {
    const name = this.entry.name.replace(/\.ipynb$/, '');
    menu(from, 'More', [
      { words: 'Run the cells above', act: () => this.runAbove() }, { words: 'Run from here on', act: () => this.runBelow() },
      { words: 'Start the kernel anew', keys: '0 0', act: () => void this.restart() },
      { words: 'Start anew and run all', act: () => void this.restartAndRun() }, { words: 'Clear what cells show', act: () => this.doc.clearOutputs() }, null,
      { words: 'Save now', keys: 'Ctrl-S', act: () => this.act('save') }, { words: 'Redo', keys: 'Shift-Z', act: () => this.act('redo'), off: !this.doc.canRedo },
      { words: 'Download the notebook', act: () => download(`${name}.ipynb`, 'application/x-ipynb+json', JSON.stringify(this.doc.write(), null, 1) + '\n') },
      { words: 'Download as one page (HTML)', act: () => void this.downloadPage(name) }, { words: 'Print', act: () => window.print() },
      ...(this.start.built_in ? [{ words: 'Back to the lesson as it came', act: () => void this.original() }] : []), null,
      { words: 'Line numbers', keys: 'Shift-L', ticked: this.numbers, act: () => this.toggleNumbers() },
      { words: 'Single-letter keys', ticked: this.keys.letters, act: () => this.keys.toggleLetters() },
      { words: 'Light or dark', act: () => pickTheme() }, { words: 'Cautions', act: () => tell('Cautions', [el('p', {}, this.start.caution)]) },
    ]);
  }

  private async downloadPage(name: string): Promise<void> {
    try { download(`${name}.html`, 'text/html', await api.asPage(this.entry.name, this.doc.write())); } catch (e) { failed(e); }
  }

  private async original(): Promise<void> {
    try {
      const f = await api.original(this.entry.path);
      this.doc.replace(f.content);
      show('This is the lesson as it came.', [{ words: 'Undo', act: () => this.doc.undo() }]);
    } catch (e) { failed(e); }
  }

  help(): void {
    const part = (title: string, mode: string) => [el('h3', {}, title), el('table', { class: 'keys' }, el('tbody', {}, ...bindings.filter(b => b.mode === mode)
      .map(b => el('tr', {}, el('th', { scope: 'row' }, el('kbd', {}, b.keys)), el('td', {}, b.words)))))];
    tell('Keys', [...part('Anywhere in a cell', 'both'), ...part('While the cell is selected', 'cell'), ...part('While you write in it', 'text'),
      el('p', { class: 'quiet' }, 'On a Mac, the command key does what Ctrl does. Single letters can be switched off under More.')], 'long');
  }

  private toggleOutline(): void {
    this.outline.hidden = !this.outline.hidden;
    this.head.querySelector('.outline-button')?.setAttribute('aria-expanded', String(!this.outline.hidden));
    this.element.classList.toggle('with-outline', !this.outline.hidden);
    this.drawOutline();
    if (!this.outline.hidden) this.outline.querySelector<HTMLElement>('button')?.focus();
  }

  private drawOutline(): void {
    if (this.outline.hidden) return;
    const items = this.doc.cells.flatMap(c => (this.views.get(c.id)?.headings ?? []).map(h => el('li', { class: `level-${h.level}` }, button(h.text, () => {
      this.select(c.id);
      h.element.scrollIntoView({ block: 'start' });
    }, { class: 'plain' }))));
    this.outline.replaceChildren(el('h2', {}, 'Outline'), items.length > 0 ? el('ul', {}, ...items) : el('p', { class: 'quiet' }, 'Headings in text cells stand here.'));
  }

  /** present shows the notebook large and without code, for the back of a room. */
  private present(on: boolean): void {
    document.body.classList.toggle('presenting', on);
    for (const v of this.views.values()) { v.leave(); v.update(); }
    if (on) {
      void document.documentElement.requestFullscreen?.().catch(() => {});
      show('Presenting: Escape leaves.');
    } else {
      hide(); // the word on how to leave, which is done
      if (document.fullscreenElement) void document.exitFullscreen();
    }
    this.focusCell();
  }
}
