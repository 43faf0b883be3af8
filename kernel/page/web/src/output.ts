// What cells show. The richest form that can be shown without running anything
// is taken; every form of others is cleaned first.

import { html, svg } from './clean.ts';
import { render } from './markdown.ts';
import { joined, type Output } from './document.ts';
import { renew } from './renew.ts';
import { el } from './dom.ts';

export const viewType = 'application/vnd.jupyter.widget-view+json';

/** Makes a control's view, or says that there is none. */
export type Widgets = (modelID: string) => HTMLElement | null;

const order = [viewType, 'text/html', 'image/svg+xml', 'image/png', 'image/jpeg', 'text/markdown', 'text/latex', 'application/json', 'text/plain'];

/** Colours of terminals are dropped: what matters is in the words. */
const plainText = (s: string): string => s.replace(/\u001b\[[0-9;]*[A-Za-z]/g, '');

/** A cell's text output beyond this is folded: lines. */
const foldLines = 60;

/** bundle shows one thing in the best of its forms. */
export function bundle(data: Record<string, any>, metadata: Record<string, any>, widgets: Widgets): HTMLElement {
  for (const type of order) {
    const value = data[type];
    if (value === undefined) continue;
    const shown = form(type, value, data, metadata, widgets);
    if (shown) return shown;
  }
  return el('p', { class: 'quiet' }, `There is something here in a form that this page does not show (${Object.keys(data).join(', ') || 'empty'}).`);
}

function form(type: string, value: any, data: Record<string, any>, metadata: Record<string, any>, widgets: Widgets): HTMLElement | null {
  const text = joined(value);
  switch (type) {
    case viewType: return widgets(value?.model_id ?? '');
    case 'text/html': return page(text);
    case 'image/svg+xml': return picture(svg(text), joined(data['text/plain']));
    case 'image/png':
    case 'image/jpeg': return image(type, text, metadata, joined(data['text/plain']));
    case 'text/markdown': return el('div', { class: 'text' }, render(text).body);
    case 'text/latex': return el('div', { class: 'text' }, render(text.trim().startsWith('$') ? text : `$$${text}$$`).body);
    case 'application/json': return folded(JSON.stringify(value, null, 2));
    case 'text/plain': return folded(plainText(text));
  }
  return null;
}

/** picture gives a drawing the role and the words that stand in for it. */
function picture(f: DocumentFragment, words: string): HTMLElement {
  const s = f.querySelector('svg');
  if (s) {
    s.setAttribute('role', 'img');
    if (!s.querySelector('title') && !s.getAttribute('aria-label')) s.setAttribute('aria-label', words || 'picture');
    const w = s.getAttribute('width'), h = s.getAttribute('height');
    if (!s.getAttribute('viewBox') && w && h) s.setAttribute('viewBox', `0 0 ${parseFloat(w)} ${parseFloat(h)}`);
  }
  return el('figure', {}, f);
}

function image(type: string, text: string, metadata: Record<string, any>, words: string): HTMLElement | null {
  const data = text.replace(/\s+/g, '');
  if (!/^[A-Za-z0-9+/=]*$/.test(data)) return null;
  const size = metadata[type] ?? {};
  return el('figure', {}, el('img', { src: `data:${type};base64,${data}`, alt: words || 'picture', width: size.width, height: size.height }));
}

const page = (text: string): HTMLElement => wrapWide(el('div', { class: 'html' }, html(text)));

/** again shows an output in place of an earlier state of it, if the two are alike; false if it must be drawn anew. */
export function again(box: HTMLElement, was: Output, now: Output): boolean {
  const before = (was.data ?? {}) as Record<string, any>, after = (now.data ?? {}) as Record<string, any>;
  const type = order.find(t => after[t] !== undefined);
  if (type !== 'text/html' || order.find(t => before[t] !== undefined) !== type || !box.firstElementChild) return false;
  return renew(box.firstElementChild as HTMLElement, joined(before[type]), joined(after[type]), page);
}

/** Tables get a box to scroll in on a narrow window; a phone also moves drawings sideways, which the keyboard must reach. */
function wrapWide(e: HTMLElement): HTMLElement {
  for (const t of Array.from(e.querySelectorAll('table'))) {
    const box = el('div', { class: 'wide', tabIndex: 0, role: 'group', 'aria-label': t.caption?.textContent || 'table' });
    for (const h of Array.from(t.querySelectorAll('th'))) if (h.textContent!.trim() === '') h.replaceWith(el('td')); // it heads nothing
    t.replaceWith(box);
    box.append(t);
  }
  for (const p of Array.from(e.querySelectorAll('pre'))) p.tabIndex = 0;
  if (matchMedia('(max-width: 46rem)').matches) for (const f of Array.from(e.querySelectorAll('figure'))) f.tabIndex = 0;
  return e;
}

/** folded shows long text with its middle put away. */
function folded(text: string, kind = ''): HTMLElement {
  const lines = text.replace(/\n$/, '').split('\n');
  const pre = (t: string) => el('pre', { class: `plain ${kind}`, tabIndex: 0 }, t);
  if (lines.length <= foldLines) return pre(lines.join('\n'));
  const rest = el('details', {}, el('summary', {}, `${lines.length - 20} more lines`), pre(lines.slice(20).join('\n')));
  return el('div', {}, pre(lines.slice(0, 20).join('\n')), rest);
}

/** one shows one output; the place of an error in the cell is named by its own text. */
export function one(o: Output, widgets: Widgets): HTMLElement {
  switch (o.output_type) {
    case 'stream': return folded(plainText(joined(o.text)), o.name === 'stderr' ? 'warn' : '');
    case 'error': return error(o);
    default: return bundle((o.data ?? {}) as Record<string, any>, (o.metadata ?? {}) as Record<string, any>, widgets);
  }
}

function error(o: Output): HTMLElement {
  const trace = Array.isArray(o.traceback) ? o.traceback.map(t => plainText(String(t))).join('\n') : '';
  const sentence = plainText(String(o.evalue ?? '')) || 'This cell failed.';
  const more = trace !== '' && trace.trim() !== sentence.trim();
  return el('div', { class: 'error', role: 'group', 'aria-label': 'error' }, el('p', {}, sentence),
    more ? el('details', {}, el('summary', {}, 'Where it happened'), el('pre', { class: 'plain', tabIndex: 0 }, trace)) : null);
}

/** sameText joins a piece of a stream to the last output, as they arrive in pieces. */
export function addStream(outputs: Output[], name: string, text: string): Output[] {
  const last = outputs[outputs.length - 1];
  if (last && last.output_type === 'stream' && last.name === name) {
    return [...outputs.slice(0, -1), { ...last, text: joined(last.text) + text }];
  }
  return [...outputs, { output_type: 'stream', name, text }];
}
