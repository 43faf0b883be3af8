// Saving: by itself after a pause, at once when the page is left, and never
// over what somebody else wrote. What cannot be saved is kept as a draft.

import * as api from './api.ts';
import { choose } from './dialog.ts';
import { joined, type Document, type NotebookData } from './document.ts';
import { failed, hide, show } from './status.ts';

/** After the last change, in ms: a draft, then the file. Assumed: shorter than one remembers having typed. */
const draftAfter = 1000, saveAfter = 3000;

/** What browsers still send when a page goes away, in bytes. */
const farewellRoom = 60_000;

export type Saving = 'saved' | 'changed' | 'saving' | 'conflict' | 'failed';

/** shape is what people write, apart from what cells show. */
const shape = (d: NotebookData): string => JSON.stringify(d.cells.map(c => [c.cell_type, joined(c.source), c.metadata]));

export class Saver {
  state: Saving = 'saved';
  private timer: number | undefined;
  private draftTimer: number | undefined;
  private busy: Promise<void> | null = null;
  private asking = false;
  private drafted = false;
  /** What people have written in the version that was last read or saved. */
  private shape: string;
  changed: () => void = () => {};
  /** theirs is told to take over a content that somebody else saved. */
  theirs: (f: api.FileOf<NotebookData>) => void = () => {};
  moved: (path: string) => void = () => {};

  constructor(private doc: Document, public path: string, private hash: string, private writable: boolean) {
    this.shape = shape(doc.write());
    doc.observe(c => { if (c.kind !== 'saved') this.touched(); });
    document.addEventListener('visibilitychange', () => { if (document.hidden) this.leave(); });
    window.addEventListener('pagehide', () => this.leave());
    window.addEventListener('beforeunload', e => { if (this.doc.dirty && this.state !== 'saved') { this.leave(); if (this.state === 'conflict' || this.state === 'failed') e.preventDefault(); } });
  }

  private set(s: Saving): void {
    if (s === this.state) return;
    this.state = s;
    this.changed();
  }

  private touched(): void {
    if (this.state === 'saved') this.set('changed');
    window.clearTimeout(this.timer);
    window.clearTimeout(this.draftTimer);
    this.draftTimer = window.setTimeout(() => void this.draft(), draftAfter);
    if (this.state !== 'conflict' && this.writable) this.timer = window.setTimeout(() => void this.save(), saveAfter);
  }

  /** draft keeps what is not saved yet on the server's side. */
  private async draft(keepalive = false): Promise<void> {
    if (!this.doc.dirty) return;
    try {
      await api.keepDraft(this.path, this.doc.write(), this.hash, keepalive);
      this.drafted = true;
    } catch { /* the file's own saving says what is wrong */ }
  }

  /** save writes the file. One save at a time; a change meanwhile asks for another. */
  async save(byHand = false): Promise<void> {
    window.clearTimeout(this.timer);
    if (this.busy) await this.busy;
    if (!this.doc.dirty && !byHand) return;
    if (!this.writable) return this.elsewhere('This file is write-protected.');
    this.busy = this.write(this.hash).finally(() => { this.busy = null; });
    await this.busy;
  }

  private async write(match: string | null): Promise<void> {
    const revision = this.doc.revision, data = this.doc.write(), sent = shape(data);
    this.set('saving');
    try {
      const e = await api.save(this.path, data, match);
      this.hash = e.hash ?? this.hash;
      this.shape = sent;
      this.drafted = false;
      window.clearTimeout(this.draftTimer);
      this.doc.markSaved(revision);
      this.set(this.doc.dirty ? 'changed' : 'saved');
      if (this.doc.dirty) this.touched();
    } catch (e) {
      if (e instanceof api.Refused && e.reason === 'conflict') return void this.conflict();
      this.set('failed');
      if (e instanceof api.Refused && e.status === 0) {
        this.timer = window.setTimeout(() => void this.save(), saveAfter); // the page says already that the server is away
        return;
      }
      failed(e);
    }
  }

  /** conflict: the file is another one than the page has seen. The person decides; nothing is lost meanwhile. */
  private async conflict(): Promise<void> {
    if (this.asking) return;
    const theirs = await api.readNotebook(this.path).catch(() => null);
    if (theirs && await this.agree(theirs)) return;
    this.set('conflict');
    void this.draft();
    this.asking = true;
    const gone = theirs === null;
    const what = await choose('Changed elsewhere', [
      gone ? 'This notebook was deleted or renamed outside this page. What you have here is not lost.'
        : 'This notebook was changed outside this page, in another tab or by another program. Both versions are still there.',
    ], gone ? [{ words: 'Save it here again', value: 'mine', main: true }, { words: 'Save as a copy', value: 'copy' }] : [
      { words: 'Keep mine', value: 'mine' }, { words: 'Take theirs', value: 'theirs' }, { words: 'Save mine as a copy', value: 'copy', main: true },
    ]);
    this.asking = false;
    if (what === 'mine') await this.write('*');
    else if (what === 'theirs') await this.take();
    else if (what === 'copy') await this.elsewhere('');
    else show('This notebook is not being saved: it was changed elsewhere.', [{ words: 'Decide', act: () => void this.conflict() }], true);
  }

  /** agree settles what nobody needs to decide: only one side, or none, changed what people write. Of what cells show,
   * the later holds. */
  private async agree(theirs: api.FileOf<NotebookData>): Promise<boolean> {
    const there = shape(theirs.content), here = shape(this.doc.write());
    if (here !== there && here === this.shape) { await this.take(); return true; }
    if (here !== there && there !== this.shape) return false;
    this.hash = theirs.hash ?? '';
    await this.write(this.hash);
    return true;
  }

  private async take(): Promise<void> {
    try {
      const f = await api.readNotebook(this.path);
      this.takeOver(f);
      void api.dropDraft(this.path);
      this.set('saved');
    } catch (e) { failed(e); }
  }

  private takeOver(f: api.FileOf<NotebookData>): void {
    this.hash = f.hash ?? '';
    this.theirs(f);
    this.shape = shape(this.doc.write());
    this.doc.markSaved(this.doc.revision);
  }

  /** elsewhere saves under the first free name like this one. */
  private async elsewhere(why: string): Promise<void> {
    const stem = this.path.replace(/\.ipynb$/, '');
    for (let n = 1; n < 100; n++) {
      const to = `${stem} copy${n > 1 ? ` ${n}` : ''}.ipynb`;
      try {
        const revision = this.doc.revision;
        const e = await api.save(to, this.doc.write(), null);
        void api.dropDraft(this.path);
        this.path = e.path;
        this.hash = e.hash ?? '';
        this.writable = true;
        this.doc.markSaved(revision);
        this.set(this.doc.dirty ? 'changed' : 'saved');
        this.moved(e.path);
        show(`${why} Saved as ${e.name}; that is the one that is open now.`.trim());
        return;
      } catch (e) {
        if (e instanceof api.Refused && e.status === 409) continue;
        this.set('failed');
        return failed(e);
      }
    }
  }

  /** leave does at the last moment what can be done. */
  private leave(): void {
    if (!this.doc.dirty) return;
    const small = JSON.stringify(this.doc.write()).length < farewellRoom;
    if (this.writable && this.state !== 'conflict') {
      if (small) void api.save(this.path, this.doc.write(), this.hash, true).then(e => { this.hash = e.hash ?? this.hash; this.doc.markSaved(this.doc.revision); this.set('saved'); }, () => {});
      else void this.save();
    } else if (!this.drafted) void this.draft(small);
  }

  /** elsewhere changed: another page or program saved this file. */
  heard(e: api.ServerEvent): void {
    if (e.kind === 'closing') { void this.draft(); void this.save(); return; }
    if (e.by === api.pageID || e.path !== this.path) return;
    if (e.kind === 'renamed' && e.to) { this.path = e.to; this.moved(e.to); return; }
    if (e.kind === 'saved' && e.hash !== this.hash) {
      if (this.doc.dirty) void this.conflict();
      else void this.take();
    }
  }

  /** back looks whether the file changed while nobody watched, as after sleep. */
  async back(): Promise<void> {
    try {
      const f = await api.readNotebook(this.path);
      if (f.hash !== this.hash) {
        if (this.doc.dirty) return void this.conflict();
        this.takeOver(f);
      } else if (this.doc.dirty) await this.save();
      hide();
    } catch { /* gone or away: the next save says so */ }
  }

}
