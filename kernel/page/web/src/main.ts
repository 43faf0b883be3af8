// Where the page begins: the address says which notebook or folder is shown.

import * as api from './api.ts';
import { el } from './dom.ts';
import { ListPage } from './list.ts';
import { NotebookPage } from './notebook.ts';
import { failed, hide, place } from './status.ts';
import { applyTheme } from './theme.ts';

let page: { element: HTMLElement; close(): void } | null = null;
let start: api.Start;
const room = el('div', { id: 'room' });

/** The notebook that an address names, or null for the list. */
const notebookAt = (path: string): string | null => path.startsWith('/open/') ? decodeURIComponent(path.slice(6)) : null;

/** shown puts something into the page, in place of the words that stood there until the script ran. */
function shown(e: HTMLElement): void {
  document.getElementById('opening')?.remove();
  room.replaceChildren(e);
}

async function turn(): Promise<void> {
  const path = notebookAt(location.pathname);
  page?.close();
  page = null;
  hide();
  try {
    if (path === null) page = new ListPage(new URLSearchParams(location.search).get('folder') ?? '', start, goFolder, p => go(`/open/${p.split('/').map(encodeURIComponent).join('/')}`));
    else {
      const f = await api.readNotebook(path);
      page = new NotebookPage(f, f.content, start, () => go('/'));
    }
    shown(page.element);
  } catch (e) {
    shown(el('main', { id: 'content', tabIndex: -1, class: 'sheet' }, el('h1', {}, 'This cannot be opened'), el('p', {}, (e as Error).message), el('p', {}, el('a', { href: '/' }, 'All notebooks'))));
    failed(e);
  }
}

function go(address: string): void {
  history.pushState(null, '', address);
  void turn();
}

const goFolder = (folder: string): void => go(folder === '' ? '/' : `/?folder=${encodeURIComponent(folder)}`);

/** skip moves the focus only: following the link would change the address, by which the page knows what it shows. */
function skip(e: Event): void {
  e.preventDefault();
  document.getElementById('content')?.focus();
}

async function begin(): Promise<void> {
  applyTheme();
  document.body.append(el('a', { class: 'skip', href: '#content', onclick: skip }, 'Skip to the content'), room, place());
  start = await api.start();
  if (location.pathname === '/' && start.notebook && !sessionStorage.getItem('been')) history.replaceState(null, '', `/open/${encodeURIComponent(start.notebook)}`);
  sessionStorage.setItem('been', 'yes');
  window.addEventListener('popstate', () => void turn());
  await turn();
}

void begin().catch(e => { document.getElementById('opening')?.remove(); document.body.append(el('main', {}, el('p', {}, (e as Error).message))); });
