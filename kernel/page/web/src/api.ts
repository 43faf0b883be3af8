// What the page asks of the server, over HTTP. Every refusal becomes an Error
// whose message is the server's sentence.

import type { NotebookData } from './document.ts';

export class Refused extends Error {
  constructor(readonly status: number, message: string, readonly reason: string | null) { super(message); }
}

/** This page among those open on the same server. */
export const pageID = Array.from(crypto.getRandomValues(new Uint8Array(8)), x => x.toString(16).padStart(2, '0')).join('');

async function ask<T>(method: string, path: string, body?: unknown, headers: Record<string, string> = {}, keepalive = false): Promise<{ value: T; headers: Headers }> {
  let r: Response;
  try {
    r = await fetch(path, {
      method, keepalive, headers: { ...(body === undefined ? {} : { 'Content-Type': 'application/json' }), 'Tautline-Page': pageID, ...headers },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch {
    throw new Refused(0, 'The program that serves this page does not answer. What you typed is kept here.', null);
  }
  if (!r.ok) {
    const said = await r.json().catch(() => ({ message: `${r.status} ${r.statusText}` }));
    throw new Refused(r.status, said.message, said.reason ?? null);
  }
  const text = await r.text();
  return { value: (text ? JSON.parse(text) : undefined) as T, headers: r.headers };
}

export interface Start {
  version: string; folder: string; notebook: string; built_in: boolean; caution: string; drafts: string[];
}

export interface Entry {
  name: string; path: string; type: 'directory' | 'notebook' | 'file';
  writable: boolean; last_modified: string; size: number | null; hash: string | null; built_in?: boolean; title?: string;
}

export interface FileOf<T> extends Entry { content: T }

export interface Session { id: string; path: string; kernel: { id: string; execution_state: string } }

const at = (p: string): string => p.split('/').map(encodeURIComponent).join('/');

export const start = async (): Promise<Start> => (await ask<Start>('GET', '/tautline/start')).value;
export const list = async (folder: string): Promise<Entry[]> =>
  (await ask<FileOf<Entry[]>>('GET', `/api/contents/${at(folder)}`)).value.content;
export const readNotebook = async (p: string): Promise<FileOf<NotebookData>> =>
  (await ask<FileOf<NotebookData>>('GET', `/api/contents/${at(p)}?type=notebook`)).value;
export const original = async (p: string): Promise<FileOf<NotebookData>> =>
  (await ask<FileOf<NotebookData>>('GET', `/tautline/original/${at(p)}`)).value;
/** save writes over the content with the hash match, and over nothing else; '*' over anything. */
export const save = async (p: string, content: NotebookData, match: string | null, keepalive = false): Promise<Entry> =>
  (await ask<Entry>('PUT', `/api/contents/${at(p)}`, { type: 'notebook', format: 'json', content },
    match === null ? { 'If-None-Match': '*' } : { 'If-Match': match }, keepalive)).value;
export const add = async (folder: string): Promise<Entry> =>
  (await ask<Entry>('POST', `/api/contents/${at(folder)}`, { type: 'notebook' })).value;
export const addFolder = async (folder: string): Promise<Entry> =>
  (await ask<Entry>('POST', `/api/contents/${at(folder)}`, { type: 'directory' })).value;
export const copy = async (p: string, folder: string): Promise<Entry> =>
  (await ask<Entry>('POST', `/api/contents/${at(folder)}`, { copy_from: p })).value;
export const rename = async (p: string, to: string): Promise<Entry> =>
  (await ask<Entry>('PATCH', `/api/contents/${at(p)}`, { path: to })).value;
/** remove gives the word that undo needs, empty for none. */
export const remove = async (p: string): Promise<string> =>
  (await ask<void>('DELETE', `/api/contents/${at(p)}`)).headers.get('Tautline-Undo') ?? '';
export const undelete = async (undo: string): Promise<Entry> =>
  (await ask<Entry>('POST', '/tautline/undelete', { undo })).value;

export interface Draft { content: NotebookData; match: string; when: string }
export const draft = async (p: string): Promise<Draft | null> => {
  try {
    return (await ask<Draft>('GET', `/tautline/drafts/${at(p)}`)).value;
  } catch (e) {
    if (e instanceof Refused && e.status === 404) return null;
    throw e;
  }
};
export const keepDraft = async (p: string, content: NotebookData, match: string, keepalive = false): Promise<void> =>
  void await ask('PUT', `/tautline/drafts/${at(p)}`, { content, match }, {}, keepalive);
export const dropDraft = async (p: string): Promise<void> => void await ask('DELETE', `/tautline/drafts/${at(p)}`);

export interface Named { gives: string[]; uses: string[] }
export const names = async (cells: string[]): Promise<Named[]> =>
  (await ask<{ cells: Named[] }>('POST', '/tautline/names', { cells })).value.cells;
export const asPage = async (name: string, content: NotebookData): Promise<string> =>
  (await ask<{ html: string }>('POST', '/tautline/page', { name, content })).value.html;

export const openSession = async (p: string): Promise<Session> =>
  (await ask<Session>('POST', '/api/sessions', { path: p, type: 'notebook', kernel: { name: 'tautline' } })).value;
export const moveSession = async (id: string, p: string): Promise<void> => void await ask('PATCH', `/api/sessions/${id}`, { path: p });
export const sessions = async (): Promise<Session[]> => (await ask<Session[]>('GET', '/api/sessions')).value;
export const endSession = async (id: string): Promise<void> => void await ask('DELETE', `/api/sessions/${id}`);
export const interrupt = async (kernel: string): Promise<void> => void await ask('POST', `/api/kernels/${kernel}/interrupt`);
export const restart = async (kernel: string): Promise<void> => void await ask('POST', `/api/kernels/${kernel}/restart`);

export type ServerEvent = { kind: 'saved' | 'renamed' | 'deleted' | 'closing' | 'here'; path?: string; hash?: string; to?: string; by?: string };

/** listen hears what happens on the server; the browser connects again by itself. */
export function listen(heard: (e: ServerEvent) => void): () => void {
  const source = new EventSource('/tautline/events');
  for (const kind of ['saved', 'renamed', 'deleted', 'closing', 'here'] as const) {
    source.addEventListener(kind, e => heard({ kind, ...JSON.parse((e as MessageEvent).data) }));
  }
  return () => source.close();
}
