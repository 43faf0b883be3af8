// Nobody is kept out: by eyes, by hands without a mouse, by a small window.
import { readFileSync } from 'node:fs';
import { readFile, rm, writeFile } from 'node:fs/promises';
import { barriers as none, inkOnCards } from '../axe.mjs';
import { code, fits, notebook, same, text, until } from '../walk.mjs';

const lesson = JSON.parse(readFileSync(new URL('../../../../notebooks/03-balance.ipynb', import.meta.url), 'utf8'));
const small = () => ({ 'n.ipynb': notebook(text('# Title\n\n$x$'), code('a := 1'), code('Live(Slider("straps", 1*N, 8*N).Start(3*N), func(f Force) any { return f })'), code('panic("x")')) });

const both = async (p, look) => {
  for (const colorScheme of ['light', 'dark']) {
    await p.page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    await look(colorScheme);
  }
};

/** Opens something, looks at it in light and dark, and leaves it by Escape. */
const inside = async (p, name, open) => {
  await open();
  await both(p, scheme => none(p.page, `${name}, ${scheme}`));
  await p.key('Escape');
};

export const barriers = {
  'no barrier in list and its dialogs': {
    files: { 'a.ipynb': notebook(text('# A')), 'b.ipynb': notebook(code('1')) },
    async walk(p) {
      await p.page.locator('.entries li').nth(1).waitFor();
      await both(p, s => none(p.page, `list, ${s}`));
      const more = p.page.getByRole('button', { name: 'More for a.ipynb' });
      await inside(p, 'menu of the list', () => more.click());
      await inside(p, 'renaming', () => p.pick(more, 'Rename'));
      await p.pick(more, 'Delete');
      await p.page.locator('.bar').getByRole('button', { name: 'Undo' }).waitFor();
      await both(p, s => none(p.page, `bar with undo, ${s}`));
    },
  },
  'no barrier in menus and dialogs': {
    files: small(),
    async walk(p) {
      await p.open('n.ipynb');
      await p.press('Run all');
      await p.output(4).locator('.error').waitFor();
      await p.ready();
      await both(p, s => none(p.page, `small notebook, ${s}`));
      await inside(p, 'menu', () => p.page.locator('header.top').getByRole('button', { name: 'More' }).click());
      await inside(p, 'keys', () => p.press('Keys'));
      await inside(p, 'light or dark', () => p.more('Light or dark'));
      await inside(p, 'cautions', () => p.more('Cautions'));
      await inside(p, 'starting anew', () => p.more('Start the kernel anew'));
      await p.cell(2).hover();
      await inside(p, 'menu of a cell', () => p.cell(2).locator('.tools').getByRole('button', { name: 'More' }).click());
      await inside(p, 'find', () => p.press('Find'));
      await p.press('Outline');
      await both(p, s => none(p.page, `outline, ${s}`));
      await p.cell(2).locator('.input').click();
      await both(p, s => none(p.page, `editor, ${s}`));
      await p.press('Present');
      await both(p, s => none(p.page, `presenting, ${s}`));
    },
  },
  'no barrier when something must be decided': {
    files: small(),
    async walk(p, place) {
      const dialog = p.page.getByRole('dialog');
      await p.open('n.ipynb');
      await p.type(2, 'a := 2');
      await p.saved();
      const behind = JSON.parse(await readFile(place.file('n.ipynb'), 'utf8'));
      behind.cells[1].source = 'a := 99';
      await p.type(2, 'a := 3');
      await writeFile(place.file('n.ipynb'), JSON.stringify(behind));
      await p.key('Control+s');
      await inside(p, 'changed elsewhere', () => dialog.getByText('Changed elsewhere').waitFor());
      await both(p, s => none(p.page, `the bar that asks to decide, ${s}`));
      await rm(place.file('n.ipynb'));
      await p.page.locator('.bar').getByRole('button', { name: 'Decide' }).click();
      await inside(p, 'deleted elsewhere', () => dialog.getByText('deleted or renamed').waitFor());
      await writeFile(place.file('n.ipynb'), JSON.stringify(behind));
      await p.open('n.ipynb'); // the draft of what was typed is still there
      await inside(p, 'not saved last time', () => dialog.getByText('Not saved last time').waitFor());
      await p.page.evaluate(() => document.activeElement?.blur());
      const away = p.page.locator('.banner').getByText('does not answer');
      await place.stop('SIGKILL');
      await away.waitFor();
      await both(p, s => none(p.page, `without a server, ${s}`));
    },
  },
  'no barrier in a lesson that ran': {
    files: { 'lesson.ipynb': lesson },
    async walk(p) {
      await p.open('lesson.ipynb');
      await p.press('Run all');
      const cells = p.page.locator('.cell.code');
      await cells.last().locator('.note', { hasText: /^ran/ }).waitFor({ state: 'attached' });
      await p.ready();
      await both(p, s => none(p.page, `lesson, ${s}`));
      await inkOnCards(p.page);
    },
  },
  'everything without a mouse': {
    files: small(),
    async walk(p) {
      await p.open('n.ipynb');
      // From the top of the page, Tab comes by every button that can be seen, each once, and shows where it is.
      await p.page.evaluate(() => document.activeElement?.blur());
      const seen = new Set();
      for (let i = 0; i < 60; i++) {
        await p.key('Tab');
        const at = await p.page.evaluate(() => {
          const e = document.activeElement, s = getComputedStyle(e);
          return { name: e.getAttribute('aria-label') || e.textContent.slice(0, 30), shown: s.outlineStyle !== 'none' || e.className.includes('cm-content'), body: e === document.body };
        });
        if (at.body) break;
        fits(at.shown, `it cannot be seen that the focus is on ${at.name}`);
        seen.add(at.name);
      }
      for (const name of ['Skip to the content', 'All notebooks', 'Run', 'Run all', 'Run anew', 'Add cell', 'Undo', 'Find', 'Outline', 'Present', 'Keys', 'More', 'Add code', 'Add text']) {
        fits(seen.has(name), `Tab never comes to ${name}`);
      }
      await p.on(2);
      await p.key('Enter', 'Escape', 'Enter');
      fits(await p.editor(2).evaluate(e => e === document.activeElement), 'Enter goes into the text');
      await p.key('Escape', 'Tab');
      fits(!(await p.focused()).startsWith('cell 2'), 'Tab leaves the cell');
      await p.on(3);
      await p.key('Shift+Enter');
      await p.output(3).getByRole('slider').focus();
      await p.key('ArrowRight');
      await until(async () => await p.output(3).getByRole('slider').inputValue() !== '3', 'a slider by key');
      await until(() => p.output(3).getByRole('slider').evaluate(e => e === document.activeElement), 'the focus stays on the slider');
      // A menu by keys, and back to its button.
      const more = p.page.locator('header.top').getByRole('button', { name: 'More' });
      await more.focus();
      await p.key('Enter', 'ArrowDown', 'ArrowDown', 'End', 'Escape');
      same(await p.focused(), 'More', 'the focus goes back from a menu');
      await more.focus();
      await p.key('Enter', 'End', 'Enter');
      await p.page.getByRole('dialog').waitFor();
      await p.key('Escape');
      same(await p.focused(), 'More', 'the focus goes back from a dialog');
    },
  },
  'a small window and large targets': {
    files: small(), window: { width: 320, height: 640 },
    async walk(p) {
      const narrow = async where => {
        const wide = await p.page.evaluate(() => document.documentElement.scrollWidth);
        fits(wide <= 320, `${where} is ${wide} px wide in a window of 320`);
        const little = await p.page.evaluate(() => Array.from(document.querySelectorAll('button, select, input, summary, [role=menuitem]'))
          .filter(e => e.checkVisibility()).map(e => [e.textContent || e.getAttribute('aria-label'), e.type === 'checkbox' || e.type === 'radio' ? e.parentElement.getBoundingClientRect() : e.getBoundingClientRect()])
          .filter(([, r]) => r.width > 0 && (r.width < 24 || r.height < 24)).map(([n, r]) => `${n} ${r.width} by ${r.height}`));
        same(little, [], `targets under 24 px, ${where}`);
      };
      await p.page.locator('.entries li').first().waitFor();
      await narrow('the list');
      await p.open('n.ipynb');
      await p.press('Run all');
      await p.output(4).locator('.error').waitFor();
      await narrow('the notebook');
      await p.more('Light or dark');
      await narrow('a dialog');
      await p.key('Escape');
      await p.press('Keys');
      await narrow('the keys');
    },
  },
  'colours of code and still motion': {
    files: small(),
    async walk(p) {
      await p.open('n.ipynb');
      const worst = () => p.page.evaluate(() => {
        const light = c => { const [r, g, b] = c.match(/[\d.]+/g).map(Number).map(x => x / 255).map(x => x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
        const probe = document.createElement('i'); // every colour there is, whether or not this notebook shows it
        document.body.append(probe);
        const of = v => { probe.style.color = `var(--${v})`; return light(getComputedStyle(probe).color); };
        const ratio = (a, b) => (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
        const out = [];
        for (const c of ['text', 'quiet', 'accent', 'warn', 'bad', 'keyword', 'string', 'number', 'comment', 'type', 'function'])
          for (const g of ['ground', 'sheet', 'soft']) out.push([ratio(of(c), of(g)), 4.5, `${c} on ${g}`]);
        for (const g of ['ground', 'sheet', 'soft']) out.push([ratio(of('line'), of(g)), 3, `line on ${g}`]);
        out.push([ratio(of('on-accent'), of('accent')), 4.5, 'on accent'], [ratio(of('warn'), of('warn-soft')), 4.5, 'warning'], [ratio(of('bad'), of('bad-soft')), 4.5, 'error']);
        probe.remove();
        return out.filter(([r, least]) => r < least).map(([r, , n]) => `${n}: ${r.toFixed(2)}`);
      });
      await both(p, async s => same(await worst(), [], `contrasts, ${s}`));
      await p.page.emulateMedia({ reducedMotion: 'reduce' });
      const moving = await p.page.evaluate(() => Array.from(document.querySelectorAll('*')).filter(e => {
        const s = getComputedStyle(e);
        return s.transitionDuration.split(',').some(d => parseFloat(d) > 0) || s.animationName !== 'none';
      }).map(e => e.className));
      same(moving, [], 'what moves all the same');
    },
  },
};
