// Making elements, without any text ever being read as HTML.

type Child = Node | string | null | undefined | false;

/** el makes an element: properties by name, attributes where the name has a hyphen or is role, handlers as functions. */
export function el<K extends keyof HTMLElementTagNameMap>(tag: K, attributes: Record<string, any> = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const e = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith('on') && typeof value === 'function') e.addEventListener(name.slice(2), value);
    else if (name === 'class') e.className = value;
    else if (name in e && !name.includes('-') && name !== 'role' && name !== 'for' && name !== 'list') (e as any)[name] = value;
    else e.setAttribute(name, value === true ? '' : String(value));
  }
  e.append(...children.filter((c): c is Node | string => c !== null && c !== undefined && c !== false));
  return e;
}

/** button makes a button with words on it. */
export function button(text: string, press: (e: MouseEvent) => void, attributes: Record<string, any> = {}): HTMLButtonElement {
  return el('button', { type: 'button', onclick: press, ...attributes }, text);
}

/** Keeps an element's children in step with a list, moving rather than making anew: focus and scroll places stay. */
export function reconcile(parent: Element, wanted: Element[]): void {
  const keep = new Set(wanted);
  for (const c of Array.from(parent.children)) if (!keep.has(c)) c.remove();
  wanted.forEach((w, i) => {
    const here = parent.children[i];
    if (here !== w) parent.insertBefore(w, here ?? null);
  });
}

/** download lets the browser keep a text as a file. */
export function download(name: string, type: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const a = el('a', { href: address, download: name });
  a.click();
  window.setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
