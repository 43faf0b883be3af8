// What axe-core says of the page as it stands, by the rules of WCAG 2.2 A and
// AA and those of good practice.
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { fits } from './walk.mjs';

const source = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What axe could not decide, looked at by a person, and why it is right. What is not listed here fails. */
const decided = [
  { rule: 'color-contrast', at: /^<(text|tspan)\b/, why: 'words in a picture stand on its own light card, over which lines and shapes run; inkOnCards measures their colours' },
];

/** inkOnCards fails when words of a picture are too pale for the card. Pictures put words on white or on a light grey. */
export async function inkOnCards(page) {
  const pale = await page.evaluate(() => {
    const light = c => { const [r, g, b] = c.match(/[\d.]+/g).map(x => x / 255).map(x => x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
    return Array.from(document.querySelectorAll('.output svg text'), t => [1.05 / (light(getComputedStyle(t).fill) + 0.05), t.textContent])
      .filter(([ratio]) => ratio < 4.5).map(([ratio, words]) => `${words}: ${ratio.toFixed(2)}`);
  });
  fits(pale.length === 0, `pale words in pictures: ${pale.join(', ')}`);
}

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
