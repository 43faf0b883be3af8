// Running cells: what was asked, what is running, what came of it.

import type { Cell, Document, Output } from './document.ts';
import type { Kernel, Message } from './kernel.ts';
import { addStream } from './output.ts';
import { alarm, say } from './status.ts';

export type Doing = 'still' | 'waiting' | 'running';

/** Where an output keeps the id by which the kernel shows it anew. */
const displayKey = 'tautline_display';

const idOf = (o: Output): string | undefined => (o.metadata as any)?.[displayKey];

export class Runner {
  private doing = new Map<string, Doing>();
  /** The text that a cell had when it last ran in this kernel, and the how-manieth run that was. */
  readonly ran = new Map<string, { source: string; turn: number }>();
  private sent = new Map<string, string>(); // message -> source
  private clear = new Set<string>();        // cells whose outputs go when the next comes
  private turn = 0;
  /** changed is told when a cell begins, waits or ends. */
  changed: (cell: string) => void = () => {};

  constructor(private doc: Document, private kernel: Kernel) {}

  state(id: string): Doing { return this.doing.get(id) ?? 'still'; }
  get busy(): boolean { return this.doing.size > 0; }

  private set(id: string, d: Doing): void {
    if (d === 'still') this.doing.delete(id);
    else this.doing.set(id, d);
    this.changed(id);
  }

  /** run asks the kernel for cells, in this order; what fails stops those behind it. */
  run(cells: Cell[]): void {
    for (const c of cells) {
      if (c.kind !== 'code' || this.state(c.id) !== 'still') continue;
      const id = this.kernel.send('shell', 'execute_request', {
        code: c.source, silent: false, store_history: true, user_expressions: {}, allow_stdin: false, stop_on_error: true,
      }, c.id, { cellId: c.id });
      this.sent.set(id, c.source);
      if (c.source.trim() === '') { this.doc.setOutputs(c, [], null); continue; }
      this.set(c.id, 'waiting');
    }
  }

  /** forget: the kernel is another one, and knows of nothing that ran. */
  forget(): void {
    const all = [...this.doing.keys(), ...this.ran.keys()];
    this.doing.clear();
    this.ran.clear();
    this.sent.clear();
    for (const id of new Set(all)) this.changed(id);
  }

  heard(m: Message): void {
    const kind = m.header.msg_type as string;
    if (kind === 'update_display_data') return this.anew(m);
    const cell = this.doc.find(String(m.parent_header.msg_id ?? '').split('.')[0]!);
    if (!cell) return;
    switch (kind) {
      case 'execute_input': return this.began(cell, m);
      case 'stream': return this.put(cell, o => addStream(o, m.content.name, m.content.text));
      case 'execute_result':
      case 'display_data': return this.put(cell, o => [...o, shown(m)]);
      case 'error': return this.failed(cell, m);
      case 'clear_output':
        if (m.content.wait) this.clear.add(cell.id);
        else this.doc.setOutputs(cell, []);
        return;
      case 'execute_reply':
        if (m.content.status === 'aborted' || m.content.status === 'abort') this.set(cell.id, 'still');
        return;
      case 'status':
        if (m.content.execution_state === 'idle') this.ended(cell, m);
    }
  }

  private began(cell: Cell, m: Message): void {
    this.ran.set(cell.id, { source: this.sent.get(m.parent_header.msg_id) ?? m.content.code, turn: ++this.turn });
    this.clear.delete(cell.id);
    // Controls go with their cell's outputs; the place keeps its height until the new ones are there.
    this.doc.setOutputs(cell, [], m.content.execution_count);
    this.set(cell.id, 'running');
  }

  private put(cell: Cell, f: (o: Output[]) => Output[]): void {
    const before = this.clear.delete(cell.id) ? [] : cell.outputs;
    this.doc.setOutputs(cell, f(before));
  }

  private failed(cell: Cell, m: Message): void {
    const { ename, evalue, traceback } = m.content;
    this.put(cell, o => [...o, { output_type: 'error', ename, evalue, traceback }]);
    alarm(`Cell ${this.doc.index(cell.id) + 1}: ${evalue}`);
  }

  private ended(cell: Cell, m: Message): void {
    if (!this.sent.delete(m.parent_header.msg_id) && this.state(cell.id) !== 'running') return;
    if (this.state(cell.id) === 'still') return;
    this.set(cell.id, 'still');
    if (!cell.outputs.some(o => o.output_type === 'error')) say(`Cell ${this.doc.index(cell.id) + 1} finished.`);
  }

  /** anew replaces what was shown under an id, wherever it stands. */
  private anew(m: Message): void {
    const id = m.content.transient?.display_id;
    for (const c of this.doc.cells) {
      if (c.outputs.some(o => idOf(o) === id)) this.doc.setOutputs(c, c.outputs.map(o => idOf(o) === id ? { ...shown(m), output_type: o.output_type } : o));
    }
  }
}

function shown(m: Message): Output {
  const { data, metadata, execution_count, transient } = m.content;
  const o: Output = { output_type: m.header.msg_type === 'execute_result' ? 'execute_result' : 'display_data', data, metadata: { ...metadata } };
  if (o.output_type === 'execute_result') o.execution_count = execution_count;
  if (transient?.display_id) (o.metadata as any)[displayKey] = transient.display_id;
  return o;
}

