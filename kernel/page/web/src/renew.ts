// What a cell shows, changed in place: while a slider is dragged the same
// picture comes again and again with other numbers. Only what differs is
// cleaned, made and laid out; what somebody opened or scrolled stays so.

import { places, read, split, type Drawing, type Plain } from './lines.ts';

/** renew makes of what is shown for one text what would be shown for another; false if that wants drawing from nothing. */
export function renew(shown: HTMLElement, was: string, now: string, make: (text: string) => HTMLElement): boolean {
  const before = split(was), after = split(now), drawn = Array.from(shown.querySelectorAll('svg'));
  if (!before || !after || drawn.length === 0 || before.drawings.length !== drawn.length || after.drawings.length !== drawn.length) return false;
  const changes = drawn.map((svg, i) => new Change(svg, before.drawings[i]!, after.drawings[i]!));
  const like = make(after.between.map((text, i) => text + (changes[i]?.text ?? '')).join('')), parts = Array.from(like.querySelectorAll('svg'));
  if (parts.length !== drawn.length || !changes.every((c, i) => c.fits(parts[i]!))) return false;
  morph(shown, like, new Map(parts.map((p, i) => [p, drawn[i]!])));
  changes.forEach((c, i) => {
    if (shown.contains(parts[i]!)) parts[i]!.replaceWith(drawn[i]!);
    c.make(parts[i]!);
  });
  return true;
}

/** A Change is what must be done to one drawing. */
class Change {
  /** The drawing with those elements only that must be cleaned and made. */
  readonly text: string;
  private at: number[];
  private plain: (Plain | null)[];
  private old: Element[];
  private fresh: number;

  constructor(private svg: Element, private was: Drawing, private now: Drawing) {
    this.old = Array.from(svg.children);
    this.at = places(was.lines, now.lines);
    this.plain = now.lines.map((l, i) => {
      const p = this.at[i]! < 0 ? null : read(l);
      return p && this.old[this.at[i]!]?.tagName === p.tag ? p : null;
    });
    const fresh = now.lines.filter((_, i) => !this.plain[i]);
    this.fresh = fresh.length;
    this.text = [now.head, ...fresh, '</svg>'].join('\n');
  }

  /** fits: nothing was cleaned away, neither before nor now, so that each line has its element. */
  fits(part: Element): boolean { return this.old.length === this.was.lines.length && part.children.length === this.fresh; }

  make(part: Element): void {
    const fresh = Array.from(part.children), kept = new Set(this.at);
    attributes(this.svg, part);
    this.old.forEach((e, i) => { if (!kept.has(i)) { e.nextSibling?.remove(); e.remove(); } }); // with the end of its line
    let here = this.svg.firstElementChild;
    this.now.lines.forEach((line, i) => {
      const at = this.at[i]!, p = this.plain[i], e = at < 0 ? null : here;
      if (e) here = e.nextElementSibling;
      if (!p && e) e.replaceWith(fresh.shift()!);
      else if (!p) for (const n of [fresh.shift()!, document.createTextNode('\n')]) this.svg.insertBefore(n, here);
      else if (line !== this.was.lines[at]) write(e!, p);
    });
  }
}

/** write changes values only: it makes nothing of the text but the text. */
function write(e: Element, { attributes, words }: Plain): void {
  for (const [name, value] of attributes) if (e.getAttribute(name) !== value) e.setAttribute(name, value);
  if (e.textContent !== words) e.textContent = words;
}

/** attributes gives an element those of another, cleaned one. A part that a person opened stays open. */
function attributes(e: Element, from: Element): void {
  const keep = e.tagName === 'DETAILS' ? 'open' : '';
  for (const a of Array.from(e.attributes)) if (a.name !== keep && !from.hasAttribute(a.name)) e.removeAttribute(a.name);
  for (const a of Array.from(from.attributes)) if (e.getAttribute(a.name) !== a.value) e.setAttribute(a.name, a.value);
}

/** morph makes an element like another, keeping every node that can stay; drawings have their own way. */
function morph(e: Element, like: Element, drawings: Map<Element, Element>): void {
  attributes(e, like);
  const had = Array.from(e.childNodes);
  Array.from(like.childNodes).forEach((n, i) => {
    const h = had[i];
    if (!h) e.append(n);
    else if (h.nodeName !== n.nodeName) h.replaceWith(n);
    else if (!(n instanceof Element)) { if (h.nodeValue !== n.nodeValue) h.nodeValue = n.nodeValue; }
    else if (!drawings.has(n)) morph(h as Element, n, drawings);
    else if (drawings.get(n) !== h) h.replaceWith(n);
  });
  for (const h of had.slice(like.childNodes.length)) h.remove();
}
