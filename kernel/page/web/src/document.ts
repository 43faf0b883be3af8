// The notebook as a document: cells, outputs, and every change with a way back.
// It knows no page and no kernel, so it can be tried without either.

export type Kind = 'code' | 'markdown' | 'raw';

export interface Output {
  output_type: string;
  [key: string]: unknown;
}

/** A cell as the file has it; what we do not know in it stays. */
export interface CellData {
  cell_type: Kind;
  id: string;
  metadata: Record<string, any>;
  source: string | string[];
  outputs?: Output[];
  execution_count?: number | null;
  [key: string]: unknown;
}

export interface NotebookData {
  cells: CellData[];
  metadata: Record<string, any>;
  nbformat: number;
  nbformat_minor: number;
  [key: string]: unknown;
}

export interface Cell {
  id: string;
  kind: Kind;
  source: string;
  outputs: Output[];
  count: number | null;
  /** Everything else that the file says of the cell. */
  rest: Record<string, unknown>;
  metadata: Record<string, any>;
}

/** Text of a file may be one string or a list of lines. */
export const joined = (s: unknown): string => Array.isArray(s) ? s.join('') : typeof s === 'string' ? s : '';

const idForm = /^[A-Za-z0-9_-]{1,64}$/;

export function newID(): string {
  const b = crypto.getRandomValues(new Uint8Array(6));
  return Array.from(b, x => x.toString(16).padStart(2, '0')).join('');
}

export type Change =
  | { kind: 'cells'; focus?: string }       // the list of cells is another one
  | { kind: 'source'; cell: Cell; from?: unknown }
  | { kind: 'outputs'; cell: Cell }
  | { kind: 'saved' }
  | { kind: 'type'; cell: Cell };

/** How many steps back there are. Assumed: more than anybody goes. */
const mostSteps = 200;

interface Step { cells: Cell[]; touched: string[] }

export class Document {
  cells: Cell[] = [];
  private whole: NotebookData;
  private past: Step[] = [];
  private future: Step[] = [];
  private observers = new Set<(c: Change) => void>();
  /** Counts changes; saved when it is the number at the last save. */
  revision = 0;
  savedRevision = 0;

  constructor(data: unknown) {
    this.whole = checked(data);
    this.cells = readCells(this.whole);
  }

  get dirty(): boolean { return this.revision !== this.savedRevision; }

  get metadata(): Record<string, any> { return this.whole.metadata; }

  observe(f: (c: Change) => void): () => void {
    this.observers.add(f);
    return () => this.observers.delete(f);
  }

  tell(c: Change): void {
    if (c.kind !== 'saved') this.revision++;
    for (const f of this.observers) f(c);
  }

  markSaved(revision: number): void {
    this.savedRevision = revision;
    for (const f of this.observers) f({ kind: 'saved' });
  }

  index(id: string): number { return this.cells.findIndex(c => c.id === id); }

  find(id: string): Cell | undefined { return this.cells.find(c => c.id === id); }

  /** What is written to the file. */
  write(): NotebookData {
    return {
      ...this.whole, nbformat: 4, nbformat_minor: Math.max(5, this.whole.nbformat_minor),
      cells: this.cells.map(writeCell),
    };
  }

  /** Takes over another content, as after somebody else saved. It can be undone. */
  replace(data: unknown): void {
    const whole = checked(data);
    this.step(this.cells.map(c => c.id));
    this.whole = whole;
    this.cells = readCells(whole);
    this.tell({ kind: 'cells' });
  }

  /** step notes the list as it is. Cells whose text the change itself touches are copied; the others are the same
   * objects before and after, so that what is typed and shown in them meanwhile stays when the change is undone. */
  private step(touched: string[]): void {
    this.past.push(this.noted(touched));
    if (this.past.length > mostSteps) this.past.shift();
    this.future = [];
  }

  private noted(touched: string[]): Step {
    return { touched, cells: this.cells.map(c => touched.includes(c.id) ? { ...c } : c) };
  }

  private change(cells: Cell[], touched: string[], focus?: string): void {
    this.step(touched);
    this.cells = cells;
    this.tell({ kind: 'cells', focus });
  }

  /** undo takes back the last change of the list of cells; typing is the editor's to undo. */
  undo(): boolean { return this.travel(this.past, this.future); }

  redo(): boolean { return this.travel(this.future, this.past); }

  private travel(from: Step[], to: Step[]): boolean {
    const step = from.pop();
    if (!step) return false;
    to.push(this.noted(step.touched));
    const back = step.cells.find(c => !this.find(c.id)) ?? step.cells.find(c => step.touched.includes(c.id));
    this.cells = step.cells;
    this.tell({ kind: 'cells', focus: back?.id });
    return true;
  }

  get canUndo(): boolean { return this.past.length > 0; }
  get canRedo(): boolean { return this.future.length > 0; }

  insert(at: number, ...cells: Cell[]): void {
    this.change([...this.cells.slice(0, at), ...cells, ...this.cells.slice(at)], [], cells[0]?.id);
  }

  remove(ids: string[]): Cell[] {
    const gone = this.cells.filter(c => ids.includes(c.id));
    if (gone.length === 0) return [];
    const at = this.index(gone[0]!.id);
    const left = this.cells.filter(c => !ids.includes(c.id));
    if (left.length === 0) left.push(newCell('code'));
    this.change(left, [], left[Math.min(at, left.length - 1)]!.id);
    return gone;
  }

  move(id: string, by: number): boolean {
    const at = this.index(id), to = at + by;
    if (at < 0 || to < 0 || to >= this.cells.length) return false;
    const cells = [...this.cells];
    const [cell] = cells.splice(at, 1);
    cells.splice(to, 0, cell!);
    this.change(cells, [], id);
    return true;
  }

  /** split cuts a cell at a place in its text; outputs stay with the lower part, which still ends in what they show. */
  split(id: string, at: number): Cell | undefined {
    const i = this.index(id), cell = this.cells[i];
    if (!cell) return undefined;
    const head = cell.source.slice(0, at).replace(/\n$/, ''), tail = cell.source.slice(at).replace(/^\n/, '');
    const above: Cell = { ...newCell(cell.kind, head), metadata: structuredClone(cell.metadata) };
    const below: Cell = { ...cell, source: tail };
    this.change([...this.cells.slice(0, i), above, below, ...this.cells.slice(i + 1)], [id], below.id);
    return below;
  }

  /** merge joins a cell with the one below. */
  merge(id: string): boolean {
    const i = this.index(id), cell = this.cells[i], next = this.cells[i + 1];
    if (!cell || !next) return false;
    const gap = cell.kind === 'markdown' ? '\n\n' : '\n';
    const one: Cell = { ...cell, source: cell.source + gap + next.source, outputs: next.outputs, count: next.count };
    this.change([...this.cells.slice(0, i), one, ...this.cells.slice(i + 2)], [id, next.id], id);
    return true;
  }

  setKind(id: string, kind: Kind): void {
    const i = this.index(id), cell = this.cells[i];
    if (!cell || cell.kind === kind) return;
    const other: Cell = { ...cell, kind, outputs: kind === 'code' ? cell.outputs : [], count: kind === 'code' ? cell.count : null };
    this.change(this.cells.map(c => c === cell ? other : c), [id], id);
  }

  setSource(cell: Cell, source: string, from?: unknown): void {
    if (cell.source === source) return;
    cell.source = source;
    this.tell({ kind: 'source', cell, from });
  }

  setOutputs(cell: Cell, outputs: Output[], count: number | null = cell.count): void {
    cell.outputs = outputs;
    cell.count = count;
    this.tell({ kind: 'outputs', cell });
  }

  clearOutputs(): void {
    for (const c of this.cells) if (c.kind === 'code' && (c.outputs.length > 0 || c.count !== null)) this.setOutputs(c, [], null);
  }

  setMetadata(cell: Cell, metadata: Record<string, any>): void {
    cell.metadata = metadata;
    this.tell({ kind: 'type', cell });
  }
}

export function newCell(kind: Kind, source = ''): Cell {
  return { id: newID(), kind, source, outputs: [], count: null, rest: {}, metadata: {} };
}

/** A copy under a new id, for paste and duplicate. */
export function copyOf(c: Cell): Cell { return { ...structuredClone(c), id: newID() }; }

function checked(data: unknown): NotebookData {
  const d = data as NotebookData;
  if (!d || typeof d !== 'object' || !Array.isArray(d.cells)) {
    throw new Error('This file is not a notebook of format 4: it has no list of cells.');
  }
  return { ...d, metadata: d.metadata ?? {}, nbformat: d.nbformat ?? 4, nbformat_minor: d.nbformat_minor ?? 5 };
}

function readCells(d: NotebookData): Cell[] {
  const seen = new Set<string>();
  const cells = d.cells.map(raw => {
    const { cell_type, id, metadata, source, outputs, execution_count, ...rest } = raw;
    const own = typeof id === 'string' && idForm.test(id) && !seen.has(id) ? id : newID();
    seen.add(own);
    const kind: Kind = cell_type === 'markdown' || cell_type === 'raw' ? cell_type : 'code';
    return {
      id: own, kind, source: joined(source), rest, metadata: metadata ?? {},
      outputs: Array.isArray(outputs) ? outputs : [], count: typeof execution_count === 'number' ? execution_count : null,
    };
  });
  return cells.length > 0 ? cells : [newCell('code')];
}

function writeCell(c: Cell): CellData {
  const lines = c.source.split(/(?<=\n)/);
  const data: CellData = { ...c.rest, cell_type: c.kind, id: c.id, metadata: c.metadata, source: c.source === '' ? [] : lines };
  if (c.kind === 'code') {
    data.outputs = c.outputs;
    data.execution_count = c.count;
  }
  return data;
}
