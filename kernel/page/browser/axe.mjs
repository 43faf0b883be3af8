// What axe-core says of the page as it stands, by the rules of WCAG 2.2 A and
// AA and those of good practice.
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { fits } from './walk.mjs';

const source = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What axe could not decide, looked at by a person, and why it is right. What is not listed here fails. */
const decided = [
  { rule: 'color-contrast', at: /\bsvg\b|<text|<tspan/, why: 'words in a picture stand on the picture\'s own white card; their colours are held to 4.5 to 1 by the pictures\' tests' },
  { rule: 'color-contrast', at: /katex|mord|mrel|mbin|mop|mopen|mclose|mpunct|mspace|vlist|strut|delimsizing/, why: 'pieces of formulas overlap; they have the colour of the text around them' },
  { rule: 'color-contrast', at: /class="bar|Close this message|\bbar\b/, why: 'the bar lies over the page; it has the page\'s two main colours, exchanged' },
  { rule: 'color-contrast', at: /class="(plain|fold plain|menu|tools)|aria-haspopup|menuitem|<kbd|<span>/, why: 'a menu or the buttons of a cell lie over its text on a ground of their own, in the colours of buttons elsewhere' },
  { rule: 'color-contrast', at: /type="(number|text|search|range)"|<select|<option/, why: 'fields have the colours of text on the sheet' },
  { rule: 'color-contrast', at: /class="(cm-|tok-|row)|<code|cm-line/, why: 'colours of code are held to 4.5 to 1 in the walk that measures them' },
  { rule: 'aria-valid-attr-value', at: /aria-controls|aria-activedescendant/, why: 'the editor names its list only while it is shown' },
];

/** barriers fails when something stands in somebody's way; the message names where. */
export async function barriers(page, where) {
  if (!await page.evaluate(() => 'axe' in window)) {
    await page.evaluate(source);
    // Cells out of sight are not painted, and the head lies over what is scrolled: for colours to be measured, neither.
    await page.evaluate(() => {
      const sheet = new CSSStyleSheet();
      sheet.replaceSync('.cell { content-visibility: visible !important } .top, .find, .outline { position: static !important }');
      document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
    });
  }
  const { violations, incomplete } = await page.evaluate(tags => {
    const brief = r => r.flatMap(x => x.nodes.map(n => ({ rule: x.id, html: n.html.slice(0, 200), why: (n.any[0] ?? n.all[0] ?? n.none[0])?.message ?? '' })));
    return window.axe.run(document, { runOnly: { type: 'tag', values: tags } }).then(r => ({ violations: brief(r.violations), incomplete: brief(r.incomplete) }));
  }, tags);
  const told = list => list.slice(0, 12).map(x => `${x.rule}: ${x.html} (${x.why})`).join('\n');
  fits(violations.length === 0, `${where}: ${violations.length} barriers\n${told(violations)}`);
  if (process.env.WALK_DECIDED) for (const x of incomplete) console.error(where, x.rule, x.html.slice(0, 90), x.why);
  const open = incomplete.filter(x => !decided.some(d => d.rule === x.rule && d.at.test(x.html)));
  fits(open.length === 0, `${where}: ${open.length} places that nobody has looked at\n${told(open)}`);
}
