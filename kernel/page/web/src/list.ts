// The notebooks of a folder.

import * as api from './api.ts';
import { ask, choose } from './dialog.ts';
import { button, el } from './dom.ts';
import { menu } from './menu.ts';
import { failed, show } from './status.ts';
import { pickTheme } from './theme.ts';

const size = (n: number | null): string => n === null ? '' : n < 1e6 ? `${Math.max(1, Math.round(n / 1000))} kB` : `${(n / 1e6).toFixed(1)} MB`;

export class ListPage {
  readonly element = el('div', { class: 'shelf' });
  private body = el('main', { id: 'content', tabIndex: -1 });
  private unlisten: () => void;

  constructor(private folder: string, private start: api.Start, private go: (folder: string) => void, private open: (path: string) => void) {
    document.title = 'Notebooks - tautline';
    const here = folder === '' ? (start.built_in ? 'Lessons' : start.folder.split(/[\\/]/).pop() || 'Notebooks') : folder.split('/').pop()!;
    const way = folder.split('/').filter(Boolean);
    this.element.append(el('header', { class: 'top' },
      el('div', { class: 'line' }, el('h1', { class: 'name' }, here), el('span', { class: 'quiet' }, start.built_in ? `Changes are kept in ${start.folder}` : start.folder)),
      el('div', { class: 'line buttons', role: 'toolbar', 'aria-label': 'Folder' },
        button('New notebook', () => void this.add(), { class: 'main' }), button('New folder', () => void this.addFolder()), button('Light or dark', () => pickTheme())),
      way.length > 0 ? el('nav', { 'aria-label': 'Folders', class: 'line way' }, button('All notebooks', () => this.go(''), { class: 'plain' }),
        ...way.slice(0, -1).map((w, i) => button(w, () => this.go(way.slice(0, i + 1).join('/')), { class: 'plain' }))) : null), this.body);
    this.unlisten = api.listen(() => void this.draw());
    void this.draw();
  }

  close(): void { this.unlisten(); }

  private async draw(): Promise<void> {
    try {
      const [entries, running] = await Promise.all([api.list(this.folder), api.sessions()]);
      const at = document.activeElement?.closest<HTMLElement>('[data-path]')?.dataset.path;
      const rows = entries.map(e => this.row(e, running.find(s => s.path === e.path)));
      this.body.replaceChildren(el('p', { class: 'caution', role: 'note' }, this.start.caution), rows.length > 0 ? el('ul', { class: 'entries' }, ...rows)
        : el('p', { class: 'quiet' }, 'There is no notebook here yet. "New notebook" makes one.'));
      if (at) this.body.querySelector<HTMLElement>(`[data-path="${CSS.escape(at)}"] button`)?.focus();
    } catch (e) { failed(e); }
  }

  private row(e: api.Entry, session: api.Session | undefined): HTMLElement {
    const name = e.name.replace(/\.ipynb$/, '');
    const note = e.type === 'directory' ? 'folder' : [session ? 'running' : '', this.start.drafts.includes(e.path) ? 'has unsaved changes of last time' : '',
      e.built_in ? 'lesson' : new Date(e.last_modified).toLocaleDateString(), e.built_in ? '' : size(e.size)].filter(Boolean).join(', ');
    const shown = e.type === 'file' ? el('span', { class: 'file' }, e.name)
      : button(name, () => e.type === 'directory' ? this.go(e.path) : this.open(e.path), { class: 'entry' });
    const row = el('li', { class: e.type }, shown, e.title && e.title !== name ? el('span', { class: 'title' }, e.title) : null, el('span', { class: 'quiet' }, note),
      button('More', ev => this.more(ev.currentTarget as HTMLElement, e, session), { class: 'plain', 'aria-haspopup': 'true', 'aria-label': `More for ${e.name}` }));
    row.dataset.path = e.path;
    return row;
  }

  private more(from: HTMLElement, e: api.Entry, session: api.Session | undefined): void {
    menu(from, e.name, [
      ...(e.type === 'notebook' ? [{ words: 'Open', act: () => this.open(e.path) }, { words: 'Open in a new tab', act: () => void window.open(`/open/${e.path.split('/').map(encodeURIComponent).join('/')}`, '_blank', 'noopener') }] : []),
      ...(session ? [{ words: 'End what is running', act: () => this.does(api.endSession(session.id)) }] : []),
      { words: e.built_in ? 'Copy under another name' : 'Rename', act: () => void this.rename(e) },
      ...(e.type !== 'directory' ? [{ words: 'Duplicate', act: () => this.does(api.copy(e.path, this.folder)) },
        { words: 'Download', act: () => { el('a', { href: `/files/${e.path.split('/').map(encodeURIComponent).join('/')}`, download: e.name }).click(); } }] : []),
      null, { words: 'Delete', off: e.built_in === true, act: () => void this.remove(e) },
    ]);
  }

  private does(p: Promise<unknown>): void { void p.then(() => this.draw(), failed); }

  private async add(): Promise<void> {
    try { this.open((await api.add(this.folder)).path); } catch (e) { failed(e); }
  }

  private async addFolder(): Promise<void> {
    try {
      const e = await api.addFolder(this.folder);
      await this.rename(e);
      await this.draw();
    } catch (e) { failed(e); }
  }

  private async rename(e: api.Entry): Promise<void> {
    const ending = e.type === 'directory' ? '' : e.name.slice(e.name.lastIndexOf('.'));
    const to = await ask('New name', 'Name', e.name.slice(0, e.name.length - ending.length), 'Rename');
    if (!to || to + ending === e.name) return;
    const folder = e.path.slice(0, e.path.length - e.name.length);
    this.does(api.rename(e.path, folder + to + (to.endsWith(ending) ? '' : ending)));
  }

  private async remove(e: api.Entry): Promise<void> {
    if (e.type === 'directory' && !await choose('Delete the folder', [`${e.name} is deleted if it is empty.`], [{ words: 'Delete', value: 'yes', danger: true }])) return;
    try {
      const undo = await api.remove(e.path);
      show(`${e.name} was deleted.`, undo ? [{ words: 'Undo', act: () => this.does(api.undelete(undo)) }] : [], true);
      await this.draw();
    } catch (err) { failed(err); }
  }
}
