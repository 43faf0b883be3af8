// Every lesson that comes with tautline, opened and run whole; then every slider
// in it is moved by a key, and put back.
import { readdirSync, readFileSync } from 'node:fs';
import { fits, same, until } from '../walk.mjs';

const folder = new URL('../../../../notebooks/', import.meta.url);
const all = readdirSync(folder).filter(n => n.endsWith('.ipynb'));

/** What a cell shows beside its controls: words, and pictures to the last line of them. Names that the page gave are left out. */
const shown = outputs => outputs.evaluate(e => Array.from(e.querySelectorAll('.output')).filter(o => !o.querySelector('input')).map(o => o.innerHTML.replace(/\bp\d+-/g, '')).join('\n'));
const said = outputs => outputs.evaluate(e => Array.from(e.querySelectorAll('.output')).filter(o => !o.querySelector('input')).flatMap(o => Array.from(o.querySelectorAll('title, desc, p'), x => x.textContent)).join('\n'));

/** moved moves one slider a step, looks at what that changed, and takes it back. */
async function moved(p, outputs, slider) {
  const name = await slider.evaluate(e => e.labels[0]?.textContent), start = await said(outputs), picture = await shown(outputs), stood = await slider.inputValue();
  fits(start !== '', `${name}: there is nothing to see`);
  await slider.focus();
  await p.key(stood === await slider.getAttribute('max') ? 'ArrowLeft' : 'ArrowRight');
  fits(await slider.inputValue() !== stood, `${name}: the key does not move it`);
  await until(async () => await said(outputs) !== start, `${name}: another picture`, 600);
  await p.ready();
  fits(await slider.evaluate(e => e === document.activeElement), `${name}: the focus stays`);
  await outputs.getByRole('button', { name: 'Back to the start' }).click();
  await until(async () => await shown(outputs) === picture, `${name}: the picture of before`, 600);
  same(await slider.inputValue(), stood, `${name}: where it stood`);
}

export const lessons = Object.fromEntries(all.map(name => [`lesson ${name}`, {
  files: { [name]: JSON.parse(readFileSync(new URL(name, folder), 'utf8')) },
  async walk(p) {
    p.context.setDefaultTimeout(60000); // some lessons count whole nights
    await p.open(name);
    await p.press('Run all');
    const cells = p.page.locator('.cell.code');
    for (let n = 0; n < await cells.count(); n++) await cells.nth(n).locator('.note', { hasText: /^ran \d+/ }).waitFor({ state: 'attached' });
    await p.ready();
    for (const outputs of await p.page.locator('.cell.code .outputs').all()) {
      for (const slider of await outputs.getByRole('slider').all()) await moved(p, outputs, slider);
    }
    same(await p.page.locator('.error').allInnerTexts(), [], 'cells that failed');
  },
}]));
