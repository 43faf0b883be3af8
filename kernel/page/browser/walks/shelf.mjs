// The list of notebooks.
import { access, readFile } from 'node:fs/promises';
import { code, fits, notebook, same, text, until } from '../walk.mjs';

const there = name => access(name).then(() => true, () => false);
const names = p => p.page.locator('.entries .entry').allInnerTexts();
const more = (p, name, item) => p.pick(p.page.getByRole('button', { name: `More for ${name}`, exact: true }), item);
const answer = async (p, words, button) => {
  const d = p.page.locator('dialog');
  await d.getByRole('textbox').fill(words);
  await d.getByRole('button', { name: button }).click();
};

export const shelf = {
  'list, new, rename, duplicate, delete and back': {
    files: { 'first.ipynb': notebook(text('# One')), 'second.ipynb': notebook(code('1 + 1')) },
    async walk(p, place) {
      await p.page.locator('.entries li').nth(1).waitFor();
      same(await names(p), ['first', 'second'], 'the list');
      await p.page.getByRole('button', { name: 'New notebook' }).click();
      await p.ready();
      await p.type(1, '6 * 7');
      await p.key('Control+s');
      await p.saved();
      await p.press('All notebooks');
      await p.page.locator('.entries li').nth(2).waitFor();
      const made = (await names(p)).find(n => n !== 'first' && n !== 'second');
      await more(p, `${made}.ipynb`, 'Rename');
      await answer(p, 'seven', 'Rename');
      await p.page.getByRole('button', { name: 'seven', exact: true }).waitFor();
      fits((await readFile(place.file('seven.ipynb'), 'utf8')).includes('6 * 7'), 'the new notebook holds what was typed');
      await more(p, 'seven.ipynb', 'Duplicate');
      await until(async () => (await names(p)).length === 4, 'the duplicate');
      await more(p, 'seven.ipynb', 'Delete');
      await until(async () => !(await names(p)).includes('seven') && !await there(place.file('seven.ipynb')), 'the deletion');
      await p.undoBar();
      await until(async () => (await names(p)).includes('seven') && await there(place.file('seven.ipynb')), 'seven back');
    },
  },
  'folders': {
    files: {},
    async walk(p, place) {
      await p.page.getByRole('button', { name: 'New folder' }).click();
      await answer(p, 'class', 'Rename');
      await p.page.getByRole('button', { name: 'class', exact: true }).click();
      await p.page.getByRole('heading', { name: 'class' }).waitFor();
      await p.page.getByRole('button', { name: 'New notebook' }).click();
      await p.ready();
      await until(async () => new URL(p.page.url()).pathname.startsWith('/open/class/'), 'the notebook in its folder');
      await p.page.goBack();
      await p.page.locator('.entries li').first().waitFor();
      fits(await there(place.file('class')), 'the folder is on the disk');
    },
  },
};
