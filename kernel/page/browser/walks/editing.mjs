// Writing: cells made, moved, cut and joined, by keys and by buttons.
import { code, fits, notebook, same, text, until } from '../walk.mjs';

const three = () => ({ 'n.ipynb': notebook(code('a := 1'), code('b := 2'), code('c := 3')) });

async function says(p, want, what) {
  await until(async () => JSON.stringify(await p.texts()) === JSON.stringify(want), what, 40).catch(async () => same(await p.texts(), want, what));
}

export const editing = {
  'cells by keyboard': {
    files: three(),
    async walk(p) {
      await p.open('n.ipynb');
      await p.on(1);
      await p.key('j');
      same(await p.focused(), 'cell 2', 'j goes down');
      await p.key('a');
      await p.page.keyboard.type('x := 0');
      await p.key('Escape');
      await says(p, ['a := 1', 'x := 0', 'b := 2', 'c := 3'], 'a adds above');
      await p.key('b');
      await p.page.keyboard.type('y := 9');
      await p.key('Escape');
      await says(p, ['a := 1', 'x := 0', 'y := 9', 'b := 2', 'c := 3'], 'b adds below');
      await p.key('d', 'd');
      await says(p, ['a := 1', 'x := 0', 'b := 2', 'c := 3'], 'd d deletes');
      same(await p.focused(), 'cell 3', 'focus stays by the deleted cell');
      await p.key('z');
      await says(p, ['a := 1', 'x := 0', 'y := 9', 'b := 2', 'c := 3'], 'z undoes');
      await p.key('Shift+Z');
      await says(p, ['a := 1', 'x := 0', 'b := 2', 'c := 3'], 'Shift-Z does it again');
      await p.on(1);
      await p.key('Control+Shift+ArrowDown');
      await says(p, ['x := 0', 'a := 1', 'b := 2', 'c := 3'], 'moved down');
      same(await p.focused(), 'cell 2', 'focus goes with the cell');
      await p.key('x');
      await says(p, ['x := 0', 'b := 2', 'c := 3'], 'cut');
      await p.key('ArrowDown', 'v');
      await says(p, ['x := 0', 'b := 2', 'c := 3', 'a := 1'], 'pasted below');
      await p.on(1);
      await p.key('Shift+ArrowDown', 'c', 'ArrowDown', 'v');
      await says(p, ['x := 0', 'b := 2', 'c := 3', 'x := 0', 'b := 2', 'a := 1'], 'two copied');
    },
  },
  'split, join and kinds by keyboard': {
    files: { 'n.ipynb': notebook(code('a := 1\nb := 2'), code('c := 3')) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.on(1);
      await p.key('Enter', 'Control+Home', 'End', 'Control+Shift+-');
      await says(p, ['a := 1', 'b := 2', 'c := 3'], 'split');
      await p.on(1);
      await p.key('Shift+M');
      await says(p, ['a := 1\nb := 2', 'c := 3'], 'joined');
      await p.key('m');
      await p.cell(1).locator('.text').waitFor();
      await p.key('y');
      await p.cell(1).locator('.still').waitFor();
      await p.key('z', 'z');
      await says(p, ['a := 1', 'b := 2', 'c := 3'].slice(0, 0).concat(['a := 1\nb := 2', 'c := 3']), 'kinds undone');
    },
  },
  'cells by buttons': {
    files: three(),
    async walk(p) {
      await p.open('n.ipynb');
      await p.cellMenu(1, 'Move down');
      await says(p, ['b := 2', 'a := 1', 'c := 3'], 'moved');
      await p.cellMenu(1, 'Join with the cell below');
      await says(p, ['b := 2\na := 1', 'c := 3'], 'joined');
      await p.cellMenu(1, 'Split in two');
      await says(p, ['b := 2', 'a := 1', 'c := 3'], 'split');
      await p.cellMenu(3, 'Cut');
      await says(p, ['b := 2', 'a := 1'], 'cut');
      await p.cellMenu(1, 'Paste below');
      await says(p, ['b := 2', 'c := 3', 'a := 1'], 'pasted');
      await p.cellMenu(2, 'Delete');
      await says(p, ['b := 2', 'a := 1'], 'deleted');
      await p.undoBar();
      await says(p, ['b := 2', 'c := 3', 'a := 1'], 'brought back');
      await p.press('Undo');
      await says(p, ['b := 2', 'a := 1'], 'undone further');
      await p.page.getByRole('button', { name: 'Add text' }).click();
      await p.page.keyboard.type('# End');
      await p.key('Shift+Enter');
      await p.page.getByRole('heading', { name: 'End' }).waitFor();
    },
  },
  'text with formulas': {
    files: { 'n.ipynb': notebook(text('old')) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.cell(1).locator('.input').dblclick();
      await p.editor(1).fill('## Push\n\nThe push is $F = p\\,A$, `$not$`, and\n\n$$\\int_0^1 x\\,dx = \\tfrac12$$\n\n| a | b |\n|---|---|\n| 1 | 2 |\n\n**bold** [link](https://example.org/)');
      await p.key('Shift+Enter');
      const shown = p.cell(1).locator('.text');
      await shown.getByRole('heading', { name: 'Push' }).waitFor();
      same(await shown.locator('math').count(), 2, 'formulas');
      same(await shown.locator('code').innerText(), '$not$', 'a dollar in code is a dollar');
      same(await shown.locator('td').allInnerTexts(), ['1', '2'], 'the table');
      fits(/noopener/.test(await shown.locator('a').getAttribute('rel') ?? ''), 'links open beside the page');
    },
  },
  'offers and explains': {
    files: { 'n.ipynb': notebook(code('')) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.type(1, '');
      await p.page.keyboard.type('fit := Put');
      const list = p.page.locator('.cm-tooltip-autocomplete');
      await list.waitFor();
      await list.locator('li', { hasText: 'PutOn' }).waitFor();
      await p.page.waitForTimeout(200); // the editor takes no pick in the first moments, lest a key meant for the text be one
      await p.key('Enter');
      await until(async () => (await p.texts())[0].startsWith('fit := PutOn'), 'the picked word');
      await p.key('Escape');
      await p.on(1);
      await p.key('Enter', 'Control+Home', 'Control+ArrowRight', 'Control+ArrowRight', 'Control+ArrowRight', 'ArrowLeft', 'Shift+Tab');
      await p.page.getByRole('dialog').getByText('PutOn').first().waitFor();
      await p.key('Escape');
      await until(() => p.editor(1).evaluate(e => e === document.activeElement), 'focus back in the text');
    },
  },
};
