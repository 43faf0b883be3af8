// What others wrote becomes part of the page only through here: HTML and SVG
// lose scripts, forms, styles and everything that would be fetched.

import DOMPurify from 'dompurify';

const common = {
  FORBID_TAGS: ['style', 'form', 'input', 'button', 'textarea', 'select', 'option', 'iframe', 'object', 'embed', 'link', 'meta', 'base', 'video', 'audio', 'source', 'track', 'dialog'],
  FORBID_ATTR: ['style', 'srcset', 'ping', 'autofocus', 'contenteditable', 'tabindex', 'accesskey', 'name', 'background', 'action', 'formaction', 'popover', 'popovertarget'],
  ALLOW_DATA_ATTR: false,
  RETURN_DOM_FRAGMENT: true as const,
};

/** Properties that a foreign SVG may set in a style attribute; each is set by itself, which the page's policy allows. */
const drawn = ['fill', 'fill-opacity', 'stroke', 'stroke-width', 'stroke-opacity', 'stroke-dasharray', 'stroke-linecap', 'stroke-linejoin',
  'opacity', 'font-size', 'font-family', 'font-weight', 'font-style', 'text-anchor', 'dominant-baseline', 'visibility'];

/** html cleans a piece of HTML. Links open beside the page; pictures come from the notebook itself or not at all. */
export function html(text: string): DocumentFragment {
  const f = DOMPurify.sanitize(text, { ...common, USE_PROFILES: { html: true, svg: true, svgFilters: true, mathMl: true } });
  ownIDs(f);
  return finish(f);
}

/** svg cleans a picture. */
export function svg(text: string): DocumentFragment {
  const styles: string[] = [];
  const at = (_: Element, data: any) => { if (data.attrName === 'style') styles.push(data.attrValue); };
  DOMPurify.addHook('uponSanitizeAttribute', at as any);
  try {
    const f = DOMPurify.sanitize(text, {
      ...common, FORBID_ATTR: common.FORBID_ATTR.filter(a => a !== 'style' && a !== 'tabindex'),
      ADD_ATTR: ['style'], USE_PROFILES: { svg: true, svgFilters: true },
    });
    for (const e of Array.from(f.querySelectorAll('[style]'))) restyle(e as SVGElement);
    ownIDs(f);
    return finish(f);
  } finally {
    DOMPurify.removeHook('uponSanitizeAttribute');
  }
}

let pictures = 0;

/** ownIDs renames what the parts of a picture or text call each other: two on a page do not mistake each other's, and
 * none takes a name that the page itself uses. */
function ownIDs(f: DocumentFragment): void {
  const own = `p${++pictures}-`;
  const ids = new Set(Array.from(f.querySelectorAll('[id]'), e => e.id));
  if (ids.size === 0) return;
  for (const e of Array.from(f.querySelectorAll('*'))) {
    for (const a of Array.from(e.attributes)) {
      if (a.name === 'id') a.value = own + a.value;
      else if (a.name === 'aria-labelledby' || a.name === 'aria-describedby') a.value = a.value.split(/\s+/).map(x => ids.has(x) ? own + x : x).join(' ');
      else if (a.value.startsWith('#') && ids.has(a.value.slice(1))) a.value = '#' + own + a.value.slice(1);
      else if (a.value.includes('url(#')) a.value = a.value.replace(/url\(#([^)]+)\)/g, (all, x) => ids.has(x) ? `url(#${own}${x})` : all);
    }
  }
}

/** restyle keeps of a style attribute what draws, as properties. */
function restyle(e: SVGElement): void {
  const said = e.getAttribute('style') ?? '';
  e.removeAttribute('style');
  for (const part of said.split(';')) {
    const [name, ...value] = part.split(':');
    const v = value.join(':').trim();
    if (name && drawn.includes(name.trim()) && !/url\(|expression|@/i.test(v)) e.style.setProperty(name.trim(), v);
  }
}

function finish(f: DocumentFragment): DocumentFragment {
  for (const a of Array.from(f.querySelectorAll('a[href]'))) {
    const to = a.getAttribute('href') ?? '';
    if (to.startsWith('#')) continue;
    a.setAttribute('rel', 'noopener noreferrer');
    if (/^https?:/i.test(to)) a.setAttribute('target', '_blank');
  }
  for (const i of Array.from(f.querySelectorAll('img, image'))) {
    const from = i.getAttribute('src') ?? i.getAttribute('href') ?? i.getAttribute('xlink:href') ?? '';
    if (!/^data:image\/(png|jpeg|gif|webp);base64,/i.test(from)) i.replaceWith(document.createTextNode(i.getAttribute('alt') || '[picture not shown: it is not in the notebook]'));
  }
  // Anything that an SVG would fetch from elsewhere.
  for (const u of Array.from(f.querySelectorAll('use, feImage, pattern, linearGradient, radialGradient, mask, clipPath'))) {
    for (const n of ['href', 'xlink:href']) if (u.hasAttribute(n) && !u.getAttribute(n)!.startsWith('#')) u.removeAttribute(n);
  }
  return f;
}
