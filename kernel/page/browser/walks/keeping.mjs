// What is typed is not lost: saved by itself, never over somebody else's
// version, and there again after a crash.
import { readFile, writeFile } from 'node:fs/promises';
import { code, fits, notebook, Person, same, text, until } from '../walk.mjs';

const one = () => ({ 'n.ipynb': notebook(code('a := 1'), text('words')) });
const onDisk = async place => JSON.parse(await readFile(place.file('n.ipynb'), 'utf8'));
const first = async place => [].concat((await onDisk(place)).cells[0].source).join('');
const dialog = p => p.page.getByRole('dialog');

/** Somebody else writes the file. */
async function behind(place, source) {
  const n = await onDisk(place);
  n.cells[0].source = [source];
  await writeFile(place.file('n.ipynb'), JSON.stringify(n, null, 1));
}

export const keeping = {
  'saves by itself and by key': {
    files: one(),
    async walk(p, place) {
      await p.open('n.ipynb');
      await p.type(1, 'a := 2');
      await p.page.getByText('not saved yet').waitFor();
      await until(async () => await first(place) === 'a := 2', 'saved by itself');
      await p.saved();
      await p.type(1, 'a := 3');
      await p.key('Control+s');
      await until(async () => await first(place) === 'a := 3', 'saved by key', 20);
    },
  },
  'changed on the disk': {
    files: one(),
    async walk(p, place) {
      await p.open('n.ipynb');
      await p.type(1, 'a := 20');
      await behind(place, 'a := 99');
      await p.key('Control+s');
      await dialog(p).getByText('Changed elsewhere').waitFor();
      same(await first(place), 'a := 99', 'theirs stays on the disk');
      await dialog(p).getByRole('button', { name: 'Take theirs' }).click();
      await until(async () => (await p.texts())[0] === 'a := 99', 'theirs is shown');
      await p.page.locator('.bar').getByRole('button', { name: 'Undo' }).click();
      await until(async () => (await p.texts())[0] === 'a := 20', 'mine can be had back');
      await p.key('Control+s');
      await p.saved();
      await behind(place, 'a := 5');
      await p.type(1, 'a := 21');
      await p.key('Control+s');
      await dialog(p).getByRole('button', { name: 'Save mine as a copy' }).click();
      await p.page.getByRole('heading', { name: 'n copy' }).waitFor();
      same(await first(place), 'a := 5', 'theirs stays');
      fits((await readFile(place.file('n copy.ipynb'), 'utf8')).includes('a := 21'), 'mine is in the copy');
    },
  },
  'two tabs on one notebook': {
    files: one(),
    async walk(p, place) {
      await p.open('n.ipynb');
      const q = await p.another();
      await q.open('n.ipynb');
      await p.type(1, 'a := 2');
      await p.key('Control+s');
      await until(async () => (await q.texts())[0] === 'a := 2', 'the other tab follows');
      await q.type(1, 'a := 3');
      await p.type(1, 'a := 4');
      await q.key('Control+s');
      await dialog(p).getByText('Changed elsewhere').waitFor();
      await dialog(p).getByRole('button', { name: 'Keep mine' }).click();
      await until(async () => await first(place) === 'a := 4', 'what was decided');
      await q.page.close();
    },
  },
  'the server is killed': {
    files: one(),
    async walk(p, place) {
      await p.open('n.ipynb');
      await p.cell(1).locator('.run').click();
      await p.ran(1);
      await p.saved();
      await p.type(1, 'a := 777');
      await p.page.waitForRequest(r => r.method() === 'PUT' && r.url().includes('/tautline/drafts/'));
      await p.page.waitForTimeout(300);
      await place.stop('SIGKILL');
      await p.page.locator('.banner').getByText('does not answer').waitFor();
      same(await first(place), 'a := 1', 'nothing of it is in the file yet');
      await p.type(2, 'typed while it was away');
      await p.page.goto('about:blank'); // the page goes too
      await place.start();
      await p.open('n.ipynb');
      await dialog(p).getByRole('button', { name: 'Bring them back' }).click();
      await until(async () => (await p.texts())[0] === 'a := 777', 'the draft');
      await p.saved();
      same(await first(place), 'a := 777', 'saved now');
    },
  },
  'the server comes back': {
    files: one(),
    async walk(p, place) {
      await p.open('n.ipynb');
      await p.cell(1).locator('.run').click();
      await p.ran(1);
      await p.saved();
      await place.stop('SIGKILL');
      await p.page.locator('.banner').getByText('does not answer').waitFor();
      await p.type(1, 'a := 8');
      await place.start();
      await p.page.locator('.banner').waitFor({ state: 'hidden' });
      await p.ready();
      await until(async () => await first(place) === 'a := 8', 'what was typed meanwhile is saved');
      await p.cell(1).locator('.run').click();
      await p.ran(1);
    },
  },
  'stopped in the ordinary way': {
    files: one(),
    async walk(p, place) {
      await p.open('n.ipynb');
      await p.type(1, 'a := 6');
      await place.stop('SIGINT');
      same(await first(place), 'a := 6', 'the page was asked to save');
    },
  },
  'download': {
    files: { 'n.ipynb': notebook(text('# Title'), code('1 + 1')) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.press('Run all');
      await p.ran(2);
      for (const [item, name, holds] of [['Download the notebook', 'n.ipynb', '"nbformat": 4'], ['Download as one page (HTML)', 'n.html', 'Title</h1>']]) {
        const [d] = await Promise.all([p.page.waitForEvent('download'), p.more(item)]);
        same(d.suggestedFilename(), name, 'the name');
        fits((await readFile(await d.path(), 'utf8')).includes(holds), `${name} holds ${holds}`);
      }
    },
  },
};
