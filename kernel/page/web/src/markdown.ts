// Text of a notebook: CommonMark with tables and formulas. Formulas are built
// by KaTeX as elements, never as text that is read again.

import MarkdownIt from 'markdown-it';
import katex from 'katex';
import { html } from './clean.ts';

const md = new MarkdownIt({ html: true, linkify: false, typographer: false });

// $...$ within a line; the rule runs after code spans and escapes, so that
// neither is mistaken for a formula. A price such as $5 is none: the opening
// sign stands before a letter, digit or backslash and the closing one is not
// followed by a digit.
md.inline.ruler.after('escape', 'formula', (state, silent) => {
  const s = state.src;
  if (s[state.pos] !== '$') return false;
  const block = s[state.pos + 1] === '$';
  const open = state.pos + (block ? 2 : 1), mark = block ? '$$' : '$';
  if (/\s/.test(s[open] ?? ' ') && !block) return false;
  let end = open;
  for (;;) {
    end = s.indexOf(mark, end);
    if (end < 0) return false;
    if (s[end - 1] !== '\\') break;
    end++;
  }
  if (end === open || (!block && (/\s/.test(s[end - 1]!) || /\d/.test(s[end + 1] ?? '')))) return false;
  if (!silent) {
    const t = state.push('formula', 'span', 0);
    t.content = s.slice(open, end);
    t.meta = { block };
  }
  state.pos = end + mark.length;
  return true;
});
md.block.ruler.before('fence', 'formula', (state, first, last, silent) => {
  const line = (n: number) => state.src.slice(state.bMarks[n]! + state.tShift[n]!, state.eMarks[n]!);
  const head = line(first).trim();
  if (!head.startsWith('$$')) return false;
  let n = first, text = head.slice(2);
  while (!text.trimEnd().endsWith('$$')) {
    if (++n >= last) return false;
    text += '\n' + line(n);
  }
  if (silent) return true;
  const t = state.push('formula', 'div', 0);
  t.content = text.trimEnd().slice(0, -2);
  t.meta = { block: true };
  t.map = [first, n + 1];
  state.line = n + 1;
  return true;
}, { alt: ['paragraph'] });
md.renderer.rules.formula = (tokens, i) => {
  const t = tokens[i]!;
  const block = t.meta?.block === true;
  const tag = block ? 'div' : 'span';
  return `<${tag} class="formula${block ? ' block' : ''}">${md.utils.escapeHtml(t.content)}</${tag}>`;
};

/** Headings get an id each, so that the outline and links reach them. */
const slug = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '');

export interface Heading { level: number; text: string; element: HTMLElement }

/** render turns the text of a cell into elements. */
export function render(text: string): { body: DocumentFragment; headings: Heading[] } {
  const body = html(md.render(text));
  for (const f of Array.from(body.querySelectorAll<HTMLElement>('.formula'))) {
    const source = f.textContent ?? '';
    f.textContent = '';
    try {
      katex.render(source, f, { displayMode: f.classList.contains('block'), throwOnError: true, output: 'htmlAndMathml', trust: false, maxExpand: 1000, maxSize: 20 });
    } catch (e) {
      f.textContent = source;
      f.title = `This formula cannot be read: ${(e as Error).message}`;
      f.classList.add('wrong');
    }
  }
  for (const t of Array.from(body.querySelectorAll('table'))) {
    const box = document.createElement('div');
    box.className = 'wide';
    box.tabIndex = 0;
    box.setAttribute('role', 'region');
    box.setAttribute('aria-label', 'table');
    t.replaceWith(box);
    box.append(t);
  }
  const headings: Heading[] = [];
  for (const h of Array.from(body.querySelectorAll<HTMLElement>('h1, h2, h3, h4, h5, h6'))) {
    h.id = `at-${slug(h.textContent ?? '')}`;
    headings.push({ level: Number(h.tagName[1]), text: h.textContent ?? '', element: h });
  }
  return { body, headings };
}
