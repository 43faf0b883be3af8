// A picture as the kernel writes it has one element a line. So two states of
// one picture can be compared by their text, before anything is made of it.

export interface Drawing { head: string; lines: string[] }

export interface Source {
  /** What stands before, between and behind the drawings. */
  between: string[];
  drawings: Drawing[];
}

/** One element without others in it. */
const lone = /^<([A-Za-z]+)(?: [^<>]*)?(?:\/>|>[^<>]*<\/\1>)$/;

/** Elements that only draw, with attributes and words that need no decoding. */
const plain = /^<(path|text|circle|ellipse|line|rect|polyline|polygon)((?: [A-Za-z-]+="[^"<>&]*")*)(?:\/>|>([^<>&]*)<\/\1>)$/;

/** What may be written over in an element that is on the page already: places, lengths, colours. None of it fetches or runs anything. */
const moved = new Set(['d', 'x', 'y', 'x1', 'x2', 'y1', 'y2', 'cx', 'cy', 'r', 'rx', 'ry', 'width', 'height', 'points', 'transform', 'fill', 'stroke', 'opacity',
  'fill-opacity', 'stroke-opacity', 'stroke-width', 'stroke-dasharray', 'stroke-dashoffset', 'font-size', 'font-weight', 'text-anchor', 'textLength', 'lengthAdjust']);
const harmless = /^[#A-Za-z0-9 .,+-]*$/, turn = /^rotate\([0-9 .-]*\)$/;

/** split finds the drawings in a text, or gives null when it is not written as the kernel does. */
export function split(text: string): Source | null {
  const drawings: Drawing[] = [], between: string[] = [];
  for (let at = 0; ;) {
    const from = text.indexOf('<svg', at), to = text.indexOf('</svg>', from);
    between.push(text.slice(at, from < 0 ? undefined : from));
    if (from < 0) return { between, drawings };
    const d = to < 0 ? null : drawing(text.slice(from, to));
    if (!d) return null;
    drawings.push(d);
    at = to + '</svg>'.length;
  }
}

function drawing(text: string): Drawing | null {
  const [head, ...lines] = text.trimEnd().split('\n');
  return /^<svg( [^<>]*)?>$/.test(head!) && lines.every(l => lone.test(l)) ? { head: head!, lines } : null;
}

export interface Plain { tag: string; attributes: [string, string][]; words: string }

/** What lines were read as; the same come again and again while a slider is dragged. */
const known = new Map<string, Plain | null>();
const room = 4000;

/** read takes a plain element apart, or gives null for any other. */
export function read(line: string): Plain | null {
  let p = known.get(line);
  if (p !== undefined) return p;
  if (known.size > room) known.clear();
  known.set(line, p = apart(line));
  return p;
}

function apart(line: string): Plain | null {
  const m = plain.exec(line);
  if (!m) return null;
  const attributes = Array.from(m[2]!.matchAll(/ ([A-Za-z-]+)="([^"]*)"/g), a => [a[1]!, a[2]!] as [string, string]);
  const fit = attributes.every(([n, v]) => moved.has(n) && (harmless.test(v) || (n === 'transform' && turn.test(v))));
  return fit ? { tag: m[1]!, attributes, words: m[3] ?? '' } : null;
}

/** shape is what two lines have in common when the one can become the other by other values. */
function shape(line: string): string {
  const p = read(line);
  return p ? `${p.tag} ${p.attributes.map(a => a[0]).join(' ')}` : lone.exec(line)![1]!;
}

const alike = (a: string, b: string): boolean => a === b || shape(a) === shape(b);

/** places says for each line which line before it takes the place of, or -1. Alike at both ends, what lies between is new. */
export function places(was: string[], now: string[]): number[] {
  const least = Math.min(was.length, now.length);
  let head = 0, tail = 0;
  while (head < least && alike(was[head]!, now[head]!)) head++;
  while (tail < least - head && alike(was[was.length - 1 - tail]!, now[now.length - 1 - tail]!)) tail++;
  return now.map((_, i) => i < head ? i : i >= now.length - tail ? i - now.length + was.length : -1);
}
