// Every lesson that comes with tautline, opened and run whole.
import { readdirSync, readFileSync } from 'node:fs';
import { same } from '../walk.mjs';

const folder = new URL('../../../../notebooks/', import.meta.url);
const all = readdirSync(folder).filter(n => n.endsWith('.ipynb'));

export const lessons = Object.fromEntries(all.map(name => [`lesson ${name}`, {
  files: { [name]: JSON.parse(readFileSync(new URL(name, folder), 'utf8')) },
  async walk(p) {
    p.context.setDefaultTimeout(60000); // some lessons count whole nights
    await p.open(name);
    await p.press('Run all');
    const cells = p.page.locator('.cell.code');
    for (let n = 0; n < await cells.count(); n++) await cells.nth(n).locator('.note', { hasText: /^ran \d+/ }).waitFor({ state: 'attached' });
    same(await p.page.locator('.error').allInnerTexts(), [], 'cells that failed');
  },
}]));
