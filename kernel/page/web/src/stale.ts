// Which cells show what no longer holds: their own text was changed since they
// ran, or a cell that they rest on was.

import type { Named } from './api.ts';
import type { Cell } from './document.ts';

export type Mark = '' | 'edited' | 'inputs';

export interface Ran { source: string; turn: number }

/** marks gives each code cell's mark. Names are what each cell gives and uses, in the order of the cells. */
export function marks(cells: Cell[], names: Named[], ran: Map<string, Ran>): Map<string, Mark> {
  const out = new Map<string, Mark>();
  const old = new Set<string>(); // names whose giver no longer holds
  const given = new Map<string, number>(); // name -> the last turn that gave it
  cells.forEach((c, i) => {
    const r = ran.get(c.id);
    if (c.kind === 'code' && r) for (const g of names[i]?.gives ?? []) given.set(g, Math.max(given.get(g) ?? 0, r.turn));
  });
  cells.forEach((c, i) => {
    if (c.kind !== 'code') return;
    const r = ran.get(c.id), n = names[i] ?? { gives: [], uses: [] };
    let mark: Mark = '';
    if (r && r.source !== c.source) mark = 'edited';
    else if (r && n.uses.some(u => old.has(u) || ((given.get(u) ?? 0) > r.turn && !n.gives.includes(u)))) mark = 'inputs';
    out.set(c.id, mark);
    for (const g of n.gives) {
      if (mark) old.add(g);
      else if (r) old.delete(g);
    }
  });
  return out;
}
