// Running cells, and what they show.
import { code, fits, notebook, same, text, until } from '../walk.mjs';

const shows = (p, n, words) => p.output(n).getByText(words).first().waitFor();

const straps = 'Live(Slider("straps", 1*N, 8*N).Start(3*N), func(f Force) any { return 2 * f })';

export const running = {
  'run by keys': {
    files: { 'n.ipynb': notebook(code('a := 20'), code('a + 1'), code('a + 2')) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.type(1, 'a := 40');
      await p.key('Shift+Enter');
      await p.ran(1);
      same(await p.focused(), 'cell 2', 'Shift-Enter goes on');
      await p.key('Control+Enter');
      await shows(p, 2, '41');
      same(await p.focused(), 'cell 2', 'Ctrl-Enter stays');
      await p.key('Alt+Enter');
      await until(async () => await p.page.locator('.cell').count() === 4, 'Alt-Enter adds');
      await p.page.keyboard.type('a * 2');
      await p.key('Shift+Enter');
      await shows(p, 3, '80');
      await p.key('Shift+Enter');
      await shows(p, 4, '42');
      await until(async () => await p.page.locator('.cell').count() === 5, 'Shift-Enter in the last cell adds one');
      await until(async () => /finished|ran/.test(await p.page.getByRole('status').innerText()), 'a word for listeners');
    },
  },
  'what cells show': {
    files: { 'n.ipynb': notebook(code('1 + 2'), code('print("one\\n", 2)'), code('mask := Mask("nasal", "medium")\nfit := PutOn(mask, Face("narrow bridge"), Straps(3*N))\nfit.At(10*CmH2O)'),
      code('import "image"\nimage.NewRGBA(image.Rect(0, 0, 30, 20))'), code('panic("on purpose")'), code('notThere')) },
    async walk(p) {
      await p.open('n.ipynb');
      for (let n = 1; n <= 5; n++) await p.cell(n).locator('.run').click();
      await shows(p, 1, '3');
      await shows(p, 2, 'one');
      await p.output(3).locator('svg').first().waitFor();
      fits(await p.output(3).locator('svg').first().getAttribute('role') === 'img', 'the picture is one for listeners');
      await p.output(3).locator('table').first().waitFor();
      await p.output(4).locator('img').waitFor();
      fits(await p.output(4).locator('img').evaluate(i => i.decode().then(() => i.naturalWidth === 30)), 'the image');
      await p.output(5).locator('.error').getByText('on purpose').first().waitFor();
      // What waits behind a cell that fails is given up, so the last one is asked by itself.
      await p.cell(6).locator('.run').click();
      await p.output(6).locator('.error').getByText('notThere').first().waitFor();
      fits((await p.page.getByRole('alert').innerText()).includes('notThere'), 'listeners hear of the error');
    },
  },
  'a slider by mouse, by key, by number': {
    files: { 'n.ipynb': notebook(code(straps)) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.on(1);
      await p.key('Shift+Enter');
      const range = p.output(1).getByRole('slider'), number = p.output(1).getByRole('spinbutton');
      await range.waitFor();
      const b = await range.boundingBox();
      await p.page.mouse.move(b.x + b.width * 0.4, b.y + b.height / 2);
      await p.page.mouse.down();
      for (let i = 0; i <= 20; i++) await p.page.mouse.move(b.x + b.width * (0.4 + 0.02 * i), b.y + b.height / 2);
      await p.page.mouse.up();
      const twice = async () => {
        const want = String(Number((2 * Number(await range.inputValue())).toFixed(3)));
        return (await p.output(1).innerText()).includes(`${want} N`);
      };
      await until(twice, 'what was dragged to is shown');
      const dragged = Number(await range.inputValue());
      fits(dragged > 5, `dragged to ${dragged}`);
      await range.focus();
      await p.key('ArrowRight');
      await until(async () => Number(await range.inputValue()) > dragged && await twice(), 'a step by key');
      await number.fill('2');
      await p.key('Enter');
      await until(async () => Number(await range.inputValue()) === 2 && await twice(), 'a typed number');
      fits(/^2(\.0+)? N$/.test(await range.getAttribute('aria-valuetext')), 'read with its unit');
    },
  },
  'marks on cells whose inputs changed': {
    files: { 'n.ipynb': notebook(code('a := 1'), code('b := a + 1'), code('b * 2'), code('7')) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.press('Run all');
      await shows(p, 3, '4');
      await p.ran(4);
      await p.type(1, 'a := 5');
      await p.note(1).getByText('edited since it ran').waitFor();
      await p.note(2).getByText('rests on a cell that changed').waitFor();
      await p.note(3).getByText('rests on a cell that changed').waitFor();
      same(await p.note(4).innerText(), 'ran 4', 'what rests on nothing');
      await p.key('Control+Enter');
      await p.ran(1);
      await p.note(2).getByText('rests on a cell that changed').waitFor();
      await p.on(2);
      await p.more('Run from here on');
      await shows(p, 3, '12');
      await p.ran(2);
      await p.ran(3);
    },
  },
  'run above, from here, anew': {
    files: { 'n.ipynb': notebook(code('a := 1'), code('a = a + 1\na'), code('a * 10')) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.on(3);
      await p.more('Run the cells above');
      await shows(p, 2, '2');
      same(await p.output(3).innerText(), '', 'the cell itself did not run');
      await p.on(2);
      await p.more('Run from here on');
      await shows(p, 3, '30');
      await p.more('Start the kernel anew');
      await p.page.getByRole('dialog').getByRole('button', { name: 'Start anew' }).click();
      await p.note(2).getByText('from before').waitFor();
      await p.ready();
      await p.cell(3).locator('.run').click();
      await p.output(3).locator('.error').waitFor();
      await p.press('Run anew');
      await shows(p, 3, '20');
      await p.more('Clear what cells show');
      await until(async () => await p.output(3).innerText() === '', 'cleared');
    },
  },
  'stop an endless loop': {
    files: { 'n.ipynb': notebook(code('a := 1'), code('for {}'), code('a + 1')) },
    async walk(p) {
      await p.open('n.ipynb');
      await p.press('Run all');
      await p.note(2).getByText('running').waitFor();
      same(await p.note(3).innerText(), 'waiting', 'the next cell waits');
      await p.press('Stop');
      await p.output(2).locator('.error').waitFor();
      await p.ready();
      await until(async () => await p.note(3).innerText() !== 'waiting', 'nothing waits any more');
      await p.cell(3).locator('.run').click();
      await shows(p, 3, '2');
      await p.on(2);
      await p.key('Control+Enter');
      await p.note(2).getByText('running').waitFor();
      await p.on(2);
      await p.key('i', 'i');
      await p.ready();
    },
  },
};
