// Reading: finding, outline, line numbers, keys, presenting, light and dark, a
// phone, paper.
import { execFile } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { promisify } from 'node:util';
import { code, fits, notebook, printed, same, text, until } from '../walk.mjs';

const story = () => ({ 'n.ipynb': notebook(text('# Start\n\nOf straps.'), code('straps := 3\nstraps'), text('## Middle'), ...Array.from({ length: 12 }, (_, i) => text(`Paragraph ${i}`)), text('## End\n\nNo more straps.')) });

const colour = p => p.page.evaluate(() => getComputedStyle(document.body).backgroundColor);

export const looking = {
  'find': {
    files: story(),
    async walk(p) {
      await p.open('n.ipynb');
      await p.key('Control+f');
      const box = p.page.getByRole('searchbox');
      await box.pressSequentially('straps');
      await p.page.locator('.find').getByText('1 of 4').waitFor();
      await p.key('Enter', 'Enter', 'Enter');
      await p.page.locator('.find').getByText('4 of 4').waitFor();
      await until(() => p.page.getByText('No more straps.').isVisible(), 'the last place');
      fits(await box.evaluate(e => e === document.activeElement), 'the focus stays in the field');
      await box.fill('nowhere');
      await p.page.locator('.find').getByText('not found').waitFor();
      await p.key('Escape');
      same(await p.focused(), 'cell 16', 'Escape goes to the cell that was found');
    },
  },
  'outline, line numbers, keys': {
    files: story(),
    async walk(p) {
      await p.open('n.ipynb');
      await p.press('Outline');
      const nav = p.page.getByRole('navigation', { name: 'Outline' });
      same(await nav.getByRole('button').allInnerTexts(), ['Start', 'Middle', 'End'], 'the outline');
      await nav.getByRole('button', { name: 'End' }).click();
      await until(() => p.page.getByRole('heading', { name: 'End' }).isVisible(), 'the heading');
      await p.on(2);
      await p.key('Shift+L');
      await p.cell(2).locator('.still.numbered').waitFor();
      await p.cell(2).locator('.input').click();
      same(await p.cell(2).locator('.cm-lineNumbers .cm-gutterElement:visible').allInnerTexts(), ['1', '2'], 'numbers in the editor');
      await p.key('Escape', 'h');
      const d = p.page.getByRole('dialog');
      await d.getByText('Shift-Enter').waitFor();
      await p.key('Escape');
      same(await p.focused(), 'cell 2', 'back from the keys');
      await p.more('Single-letter keys');
      await p.on(2);
      await p.key('b');
      same(await p.page.locator('.cell').count(), 16, 'letters do nothing when they are off');
    },
  },
  'presenting': {
    files: story(), window: { width: 1920, height: 1080 },
    async walk(p) {
      await p.open('n.ipynb');
      await p.press('Run all');
      await p.ran(2);
      await p.press('Present');
      await p.page.getByRole('button', { name: 'Leave presenting' }).waitFor();
      fits(!await p.cell(2).locator('.input').isVisible(), 'no code in sight');
      fits(await p.output(2).isVisible(), 'what it shows is');
      fits(await p.cell(1).evaluate(e => parseFloat(getComputedStyle(e).fontSize)) >= 24, 'large type');
      await p.key('Escape');
      await until(() => p.cell(2).locator('.input').isVisible(), 'the code again');
      fits(!await p.page.locator('.bar').isVisible(), 'the word on how to leave goes with it');
    },
  },
  'light and dark': {
    files: story(),
    async walk(p) {
      await p.open('n.ipynb');
      await p.page.emulateMedia({ colorScheme: 'light' });
      const light = await colour(p);
      await p.page.emulateMedia({ colorScheme: 'dark' });
      const dark = await colour(p);
      fits(light !== dark, 'the system decides');
      await p.more('Light or dark');
      await p.page.getByRole('dialog').getByRole('button', { name: 'Light', exact: true }).click();
      await until(async () => await colour(p) === light, 'the person decides');
      await p.page.reload();
      await p.ready();
      same(await colour(p), light, 'and it is remembered');
    },
  },
  'the bedside on a phone': {
    files: async () => ({ 'bedside.ipynb': JSON.parse(await readFile(new URL('../../../../notebooks/bedside.ipynb', import.meta.url), 'utf8')) }),
    window: { width: 390, height: 844, isMobile: true, hasTouch: true },
    async walk(p) {
      await p.open('bedside.ipynb');
      await p.page.getByRole('button', { name: 'Start', exact: true }).tap();
      await p.output(3).getByRole('combobox').first().waitFor();
      await p.ready();
      same(await p.page.locator('.still:visible, .cm-editor:visible').count(), 0, 'lines of code in sight');
      const wide = await p.page.evaluate(() => document.documentElement.scrollWidth);
      fits(wide <= 390, `the page is ${wide} px wide`);
      const before = await p.output(3).innerText();
      await p.output(3).getByLabel('mask', { exact: true }).selectOption('full face').catch(async () => p.output(3).getByRole('combobox').nth(1).selectOption({ index: 1 }));
      await until(async () => await p.output(3).innerText() !== before, 'another answer');
      await p.output(3).getByText('Afterwards').first().waitFor();
      await p.ready();
      // One page for the first answer with the lines for the hand, one for each further answer.
      for (const paper of ['A4', 'Letter']) same(await printed(p.page, paper), await p.page.locator('.cell.code').count(), `printed pages, ${paper}`);
    },
  },
  'the quick sheet is one page of paper': {
    async walk(p, place) {
      const made = place.file('sheet.html');
      await promisify(execFile)(place.binary, ['run', fileURLToPath(new URL('../../../../notebooks/quick-sheet.ipynb', import.meta.url)), '--html', made]);
      await p.page.goto(pathToFileURL(made).href);
      fits((await p.page.locator('main, body').first().innerText()).length > 500, 'there is something on the sheet');
      for (const paper of ['A4', 'Letter']) same(await printed(p.page, paper), 1, `printed pages, ${paper}`);
    },
  },
};
