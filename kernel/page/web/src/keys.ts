// Keys, by the conventions of notebooks. Single letters work only while the
// cell itself has the focus, not its text, and can be switched off.

export interface Binding { keys: string; words: string; mode: 'both' | 'cell' | 'text' }

export const bindings: Binding[] = [
  { keys: 'Shift-Enter', words: 'Run the cell and go to the next', mode: 'both' },
  { keys: 'Ctrl-Enter', words: 'Run the cell and stay', mode: 'both' },
  { keys: 'Alt-Enter', words: 'Run the cell and add one below', mode: 'both' },
  { keys: 'Ctrl-S', words: 'Save now', mode: 'both' },
  { keys: 'Ctrl-F', words: 'Find', mode: 'both' },
  { keys: 'Escape', words: 'Leave the text of the cell', mode: 'text' },
  { keys: 'Tab', words: 'Offer words; Escape, then Tab leaves the text', mode: 'text' },
  { keys: 'Shift-Tab', words: 'Tell what the word means', mode: 'text' },
  { keys: 'Ctrl-Shift--', words: 'Split the cell at the cursor', mode: 'text' },
  { keys: 'Enter', words: 'Write in the cell', mode: 'cell' },
  { keys: '\u2191 \u2193 k j', words: 'Go to the cell above or below', mode: 'cell' },
  { keys: 'Shift-\u2191 Shift-\u2193', words: 'Select several cells', mode: 'cell' },
  { keys: 'a b', words: 'Add a cell above, below', mode: 'cell' },
  { keys: 'd d', words: 'Delete the cell', mode: 'cell' },
  { keys: 'z Shift-Z', words: 'Undo, redo a change of cells', mode: 'cell' },
  { keys: 'x c v', words: 'Cut, copy, paste cells', mode: 'cell' },
  { keys: 'm y r', words: 'Make it text, code, raw', mode: 'cell' },
  { keys: 'Shift-M', words: 'Join with the cell below', mode: 'cell' },
  { keys: 'Ctrl-Shift-\u2191 Ctrl-Shift-\u2193', words: 'Move the cell up, down', mode: 'cell' },
  { keys: 'Shift-L', words: 'Line numbers on or off', mode: 'cell' },
  { keys: 'i i', words: 'Stop the running cell', mode: 'cell' },
  { keys: '0 0', words: 'Start the kernel anew', mode: 'cell' },
  { keys: 'h', words: 'Show these keys', mode: 'cell' },
];

export type Verb = 'runNext' | 'runStay' | 'runAdd' | 'save' | 'find' | 'edit' | 'up' | 'down' | 'moreUp' | 'moreDown' | 'above' | 'below' | 'delete'
  | 'undo' | 'redo' | 'cut' | 'copy' | 'paste' | 'markdown' | 'code' | 'raw' | 'merge' | 'moveUp' | 'moveDown' | 'numbers' | 'stop' | 'restart' | 'help' | 'first' | 'last';

/** How quickly the second of two letters must follow, in ms. */
const pair = 800;

const single: Record<string, Verb> = {
  k: 'up', j: 'down', a: 'above', b: 'below', z: 'undo', x: 'cut', c: 'copy', v: 'paste', m: 'markdown', y: 'code', r: 'raw', h: 'help',
};
const shifted: Record<string, Verb> = { Z: 'redo', M: 'merge', L: 'numbers', K: 'moreUp', J: 'moreDown' };
const twice: Record<string, Verb> = { d: 'delete', i: 'stop', 0: 'restart' };
const arrows: Record<string, Verb> = { ArrowUp: 'up', ArrowDown: 'down', Home: 'first', End: 'last' };

export class Keys {
  private before = { key: '', at: 0 };
  letters = localStorage.getItem('letters') !== 'off';

  toggleLetters(): void {
    this.letters = !this.letters;
    localStorage.setItem('letters', this.letters ? 'on' : 'off');
  }

  /** anywhere gives what a key means wherever the focus is. */
  anywhere(e: KeyboardEvent): Verb | null {
    const mod = e.ctrlKey || e.metaKey;
    if (e.key === 'Enter' && !e.isComposing) {
      if (e.shiftKey && !mod && !e.altKey) return 'runNext';
      if (mod && !e.shiftKey && !e.altKey) return 'runStay';
      if (e.altKey && !mod && !e.shiftKey) return 'runAdd';
    }
    if (mod && !e.altKey && !e.shiftKey) {
      if (e.key.toLowerCase() === 's') return 'save';
      if (e.key.toLowerCase() === 'f') return 'find';
    }
    if (mod && e.shiftKey && e.key === 'ArrowUp') return 'moveUp';
    if (mod && e.shiftKey && e.key === 'ArrowDown') return 'moveDown';
    return null;
  }

  /** onCell gives what a key means while a cell itself has the focus. */
  onCell(e: KeyboardEvent): Verb | null {
    if (e.ctrlKey || e.metaKey || e.altKey) return null;
    if (e.key === 'Enter' && !e.shiftKey) return 'edit';
    if (e.key in arrows) return e.shiftKey ? ({ up: 'moreUp', down: 'moreDown' } as Record<string, Verb>)[arrows[e.key]!] ?? null : arrows[e.key]!;
    if (!this.letters) return null;
    if (e.shiftKey) return shifted[e.key.toUpperCase()] ?? null;
    const now = performance.now(), second = this.before.key === e.key && now - this.before.at < pair;
    this.before = { key: second ? '' : e.key, at: now };
    if (e.key in twice) return second ? twice[e.key]! : null;
    return single[e.key] ?? null;
  }
}
