// The editor of a cell. Until it is needed a cell shows its text coloured and
// still; the editor comes when one goes into the cell.

import { autocompletion, closeBrackets, closeBracketsKeymap, completionKeymap, completionStatus, startCompletion, type CompletionContext, type CompletionResult } from '@codemirror/autocomplete';
import { defaultKeymap, history, historyKeymap, indentLess, insertTab } from '@codemirror/commands';
import { go, goLanguage } from '@codemirror/lang-go';
import { bracketMatching, HighlightStyle, indentUnit, syntaxHighlighting } from '@codemirror/language';
import { Compartment, EditorState, type Extension, Prec } from '@codemirror/state';
import { drawSelection, EditorView, hoverTooltip, keymap, lineNumbers, placeholder } from '@codemirror/view';
import { classHighlighter, highlightCode, tags } from '@lezer/highlight';
import type { Kind } from './document.ts';
import { el } from './dom.ts';

const colours = HighlightStyle.define([
  { tag: tags.keyword, class: 'tok-keyword' }, { tag: tags.string, class: 'tok-string' }, { tag: tags.number, class: 'tok-number' },
  { tag: tags.comment, class: 'tok-comment' }, { tag: [tags.typeName, tags.standard(tags.name)], class: 'tok-typeName' },
  { tag: tags.function(tags.variableName), class: 'tok-function' },
]);

/** still gives a cell's text as it stands, coloured, for cells nobody edits. */
export function still(kind: Kind, text: string, numbers: boolean): HTMLElement {
  const lines = el('pre', { class: 'still' });
  if (text === '') lines.append(el('span', { class: 'empty' }, hint(kind)));
  const code = el('code');
  let line = el('span', { class: 'row' });
  const next = () => { code.append(line, '\n'); line = el('span', { class: 'row' }); };
  if (kind === 'code') {
    highlightCode(text, goLanguage.parser.parse(text), classHighlighter,
      (t, classes) => { line.append(classes ? el('span', { class: classes }, t) : t); }, next);
  } else {
    text.split('\n').forEach((t, i) => { if (i) next(); line.append(t); });
  }
  code.append(line);
  if (text !== '') lines.append(code);
  lines.classList.toggle('numbered', numbers && text !== '');
  return lines;
}

export const hint = (kind: Kind): string => kind === 'code' ? 'One or two short lines. Shift-Enter runs them.' : 'Text. Shift-Enter shows it.';

export interface Asker {
  complete(code: string, cursor: number): Promise<{ matches: string[]; start: number; end: number; kinds: (string | undefined)[] } | null>;
  inspect(code: string, cursor: number): Promise<Node | null>;
}

const numbersPart = new Compartment();

/** Positions of the protocol count characters; the editor's count UTF-16 units. */
const toChars = (s: string, units: number): number => Array.from(s.slice(0, units)).length;
const toUnits = (s: string, chars: number): number => Array.from(s).slice(0, chars).join('').length;

function completer(asker: Asker) {
  return async (c: CompletionContext): Promise<CompletionResult | null> => {
    const word = c.matchBefore(/[\w.]*"?[\w ]*/);
    if (!c.explicit && !c.matchBefore(/[\p{L}_][\p{L}\p{N}_]*|\.$/u)) return null;
    void word;
    const code = c.state.doc.toString();
    const got = await asker.complete(code, toChars(code, c.pos)).catch(() => null);
    if (!got || got.matches.length === 0 || c.aborted) return null;
    const from = toUnits(code, got.start), to = toUnits(code, got.end);
    return {
      from, to, filter: false,
      options: got.matches.map((label, i) => ({ label, type: got.kinds[i] === 'function' ? 'function' : got.kinds[i] === 'unit' ? 'constant' : 'variable' })),
    };
  };
}

function tooltips(asker: Asker) {
  return hoverTooltip(async (view, pos) => {
    const w = view.state.wordAt(pos);
    if (!w) return null;
    const code = view.state.doc.toString();
    const dom = await asker.inspect(code, toChars(code, pos)).catch(() => null);
    return dom && { pos: w.from, end: w.to, above: true, create: () => ({ dom: el('div', { class: 'meaning' }, dom) }) };
  }, { hoverTime: 500 });
}

export interface Options {
  kind: Kind; label: string; numbers: boolean; nonce: string; asker: Asker;
  changed: (text: string) => void;
  /** keys are the notebook's own, before the editor's. */
  keys: { key: string; run: () => boolean }[];
}

export class Editor {
  readonly view: EditorView;
  private quiet = false;

  constructor(text: string, o: Options) {
    const code = o.kind === 'code';
    const extensions: Extension[] = [
      Prec.highest(keymap.of(o.keys.map(k => ({ key: k.key, run: () => completionStatus(this.view.state) === 'active' && k.key === 'Escape' ? false : k.run() })))),
      history(), drawSelection(), bracketMatching(), EditorView.lineWrapping, EditorState.allowMultipleSelections.of(false),
      EditorView.cspNonce.of(o.nonce), indentUnit.of('\t'), EditorState.tabSize.of(4),
      EditorView.contentAttributes.of({ 'aria-label': o.label, spellcheck: code ? 'false' : 'true', autocapitalize: 'off' }),
      placeholder(hint(o.kind)), numbersPart.of(o.numbers ? lineNumbers() : []),
      syntaxHighlighting(colours), syntaxHighlighting(classHighlighter),
      EditorView.updateListener.of(u => { if (u.docChanged && !this.quiet) o.changed(u.state.doc.toString()); }),
      ...(code ? [go(), closeBrackets(), autocompletion({ override: [completer(o.asker)], activateOnTypingDelay: 150 }), tooltips(o.asker),
        keymap.of([
          ...closeBracketsKeymap, ...completionKeymap,
          // Tab completes after a word and leaves the editor otherwise, unless there is something to indent.
          { key: 'Tab', run: v => this.tab(v), shift: v => v.state.selection.main.empty ? false : indentLess(v) },
        ])] : []),
      keymap.of([...defaultKeymap.filter(k => k.key !== 'Mod-Enter'), ...historyKeymap]),
    ];
    this.view = new EditorView({ state: EditorState.create({ doc: text, extensions }) });
  }

  private tab(v: EditorView): boolean {
    const r = v.state.selection.main;
    if (!r.empty) return insertTab(v);
    const line = v.state.doc.lineAt(r.head), before = line.text.slice(0, r.head - line.from);
    if (/[\p{L}\p{N}_."(]$/u.test(before)) return startCompletion(v);
    if (v.state.doc.lines > 1 && before.trim() === '' && line.number > 1) return insertTab(v);
    return false;
  }

  get text(): string { return this.view.state.doc.toString(); }
  get cursor(): number { return this.view.state.selection.main.head; }
  get atStart(): boolean { const s = this.view.state; return s.selection.main.empty && s.doc.lineAt(s.selection.main.head).number === 1; }
  get atEnd(): boolean { const s = this.view.state; return s.selection.main.empty && s.doc.lineAt(s.selection.main.head).number === s.doc.lines; }

  /** Takes over a text that changed elsewhere, keeping the cursor where it can. */
  set(text: string): void {
    if (text === this.text) return;
    const head = Math.min(this.cursor, text.length);
    this.quiet = true;
    this.view.dispatch({ changes: { from: 0, to: this.view.state.doc.length, insert: text }, selection: { anchor: head } });
    this.quiet = false;
  }

  select(from: number, to: number): void {
    this.view.dispatch({ selection: { anchor: from, head: to }, effects: EditorView.scrollIntoView(from, { y: 'center' }) });
  }

  numbers(on: boolean): void { this.view.dispatch({ effects: numbersPart.reconfigure(on ? lineNumbers() : []) }); }

  focus(): void { this.view.focus(); }
  destroy(): void { this.view.destroy(); }
}
