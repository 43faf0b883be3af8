// What every walk through the page stands on: a server of its own folder, a
// browser, and the few things that people do over and over.
import { spawn } from 'node:child_process';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const flags = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync'];

export const launch = executablePath => chromium.launch({ executablePath, args: flags, timeout: 20000 });

/** fits fails a walk with words that say what was seen. */
export function fits(holds, words) { if (!holds) throw new Error(words); }

export function same(got, want, what) {
  fits(JSON.stringify(got) === JSON.stringify(want), `${what}: ${JSON.stringify(got)}, want ${JSON.stringify(want)}`);
}

/** until waits for something that is not on the page, such as a file. */
export async function until(holds, what, tries = 150) {
  for (let i = 0; i < tries; i++) {
    if (await holds()) return;
    await new Promise(r => setTimeout(r, 100));
  }
  throw new Error(`waited in vain: ${what}`);
}

/** printed counts the pages that something takes on paper. */
export async function printed(page, format) {
  const sheet = await page.pdf({ format, preferCSSPageSize: false });
  return sheet.toString('latin1').match(/\/Type\s*\/Page(?!s)/g).length;
}

let ids = 0;
const cell = (cell_type, source, more = {}) => ({ cell_type, id: `cell${++ids}`, metadata: {}, source, ...more });
export const text = source => cell('markdown', source);
export const code = (source, outputs = [], metadata = {}) => cell('code', source, { outputs, execution_count: outputs.length ? 1 : null, metadata });

export const notebook = (...cells) => ({
  cells, metadata: { kernelspec: { display_name: 'Go (tautline)', language: 'go', name: 'tautline' } }, nbformat: 4, nbformat_minor: 5,
});

/** A Place is a folder of notebooks and the server that shows it. It can be killed and started again. */
export class Place {
  static async make(binary, files = {}) {
    const p = new Place();
    p.binary = binary;
    p.root = await mkdtemp(join(tmpdir(), 'walk'));
    p.folder = join(p.root, 'notebooks');
    await mkdir(p.folder);
    for (const [name, content] of Object.entries(files)) await writeFile(p.file(name), JSON.stringify(content, null, 1));
    await p.start();
    return p;
  }

  file(name) { return join(this.folder, name); }

  async start() {
    const env = { ...process.env, HOME: this.root, XDG_DATA_HOME: join(this.root, 'data'), JUPYTER_DATA_DIR: join(this.root, 'jupyter') };
    this.process = spawn(this.binary, ['open', this.what ?? this.folder, '--no-browser'], { env, stdio: ['ignore', 'pipe', 'pipe'] });
    this.ended = new Promise(r => this.process.on('exit', r));
    this.said = '';
    this.process.stderr.on('data', d => { this.said += d; });
    this.link = await new Promise((resolve, reject) => {
      let out = '';
      this.process.stdout.on('data', d => {
        out += d;
        const found = /http:\/\/\S+/.exec(out);
        if (found) resolve(found[0]);
      });
      this.process.on('exit', () => reject(new Error(`the server ended: ${this.said}`)));
    });
    this.address = new URL(this.link).origin;
  }

  async stop(signal = 'SIGINT') {
    this.process.kill(signal);
    await this.ended;
  }

  async close() {
    await this.stop('SIGKILL');
    await rm(this.root, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** A Person sits before one window of the page. */
export class Person {
  static async sit(browser, place, { width = 1000, height = 900, ...more } = {}) {
    const p = new Person();
    p.place = place;
    p.context = await browser.newContext({ viewport: { width, height }, reducedMotion: 'reduce', acceptDownloads: true, ...more });
    p.context.setDefaultTimeout(Number(process.env.WALK_PATIENCE ?? 15000));
    p.trouble = [];
    if (process.env.WALK_FILES) await p.context.route(/\/assets\/page\.(js|css)/, r => r.fulfill({ path: process.env.WALK_FILES + new URL(r.request().url()).pathname.slice(7) }));
    p.page = await p.tab();
    await p.page.goto(place.link);
    return p;
  }

  async tab() {
    const page = await this.context.newPage();
    page.on('pageerror', e => this.trouble.push(String(e)));
    return page;
  }

  /** another is the same person with a second tab. */
  async another() {
    const q = Object.assign(new Person(), this);
    q.page = await this.tab();
    return q;
  }

  async open(name) {
    await this.page.goto(`${this.place.address}/open/${encodeURIComponent(name)}`);
    await this.ready();
  }

  /** ready: the kernel is there and has nothing to do. */
  async ready() { await this.page.locator('.kernel[data-state="ready"]').waitFor(); }

  cell(n) { return this.page.locator('.cell').nth(n - 1); }
  editor(n) { return this.cell(n).locator('.cm-content'); }
  output(n) { return this.cell(n).locator('.outputs'); }
  note(n) { return this.cell(n).locator('.note'); }
  key(...keys) { return keys.reduce((before, k) => before.then(() => this.page.keyboard.press(k)), Promise.resolve()); }

  /** press presses a button of the head by its words. */
  press(name) { return this.page.locator('header.top').getByRole('button', { name, exact: true }).click(); }

  async pick(from, item) {
    await from.click();
    await this.page.locator('.menu').getByRole(/^(Line numbers|Single-letter keys)$/.test(item) ? 'menuitemcheckbox' : 'menuitem', { name: item }).first().click();
  }

  /** more picks from the notebook's menu, cellMenu from a cell's. */
  more(item) { return this.pick(this.page.locator('header.top').getByRole('button', { name: 'More' }), item); }
  async cellMenu(n, item) {
    await this.cell(n).hover();
    await this.pick(this.cell(n).locator('.tools').getByRole('button', { name: 'More' }), item);
  }

  async type(n, words) {
    if (await this.editor(n).count() === 0) {
      const still = this.cell(n).locator('.input');
      if (await this.cell(n).evaluate(e => e.classList.contains('code'))) await still.click();
      else await still.dblclick();
    }
    await this.editor(n).fill(words);
  }

  /** on puts the focus on a cell, not in its text. */
  async on(n) { await this.cell(n).locator('.side').click({ position: { x: 4, y: 2 } }); await this.cell(n).focus(); }

  async ran(n) { await this.cell(n).locator('.note', { hasText: /^ran \d+/ }).waitFor(); }

  /** texts are what the cells say, from what would be saved. */
  texts() {
    return this.page.evaluate(() => Array.from(document.querySelectorAll('.cell'), c => {
      const lines = c.querySelectorAll('.cm-line');
      if (lines.length) return Array.from(lines, l => l.querySelector('.cm-placeholder') ? '' : l.textContent).join('\n');
      const still = c.querySelector('.still code') ?? c.querySelector('.still .empty') ?? c.querySelector('.text');
      return !still || still.className === 'empty' || still.querySelector('p.quiet') ? '' : still.textContent.replace(/\n$/, '');
    }));
  }

  async saved() { await this.page.locator('header .quiet', { hasText: /^saved$/ }).first().waitFor(); }

  async undoBar() { await this.page.locator('.bar').getByRole('button', { name: 'Undo' }).click(); }

  /** focused names what has the focus, for walks by keyboard. */
  focused() {
    return this.page.evaluate(() => {
      const e = document.activeElement;
      return e?.dataset?.cell ? `cell ${Array.from(document.querySelectorAll('.cell')).indexOf(e) + 1}` : e?.getAttribute('aria-label') || e?.textContent?.slice(0, 40) || e?.tagName;
    });
  }

  async close() { await this.context.close(); }
}
