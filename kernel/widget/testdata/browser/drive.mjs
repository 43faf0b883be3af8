// Draws and moves the kernel's controls in a headless browser, and says what it
// found as JSON. Called with the page's address and a folder for pictures.
import { chromium } from 'playwright-core';

const [address, folder, executablePath] = process.argv.slice(2);
const flags = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync'];
const browser = await chromium.launch({ executablePath, args: flags, timeout: 20000 });
const found = {};
try {
  const page = await browser.newPage({ viewport: { width: 1000, height: 1500 } });
  page.setDefaultTimeout(10000);
  await page.goto(address);
  await page.waitForFunction(() => window.run);
  const caption = name => page.locator(`#${name} > div:nth-child(2) > p`).first();
  const settled = (name, text) => caption(name).filter({ hasText: text }).waitFor();
  // On a busy machine a number may change a little after its picture.
  const until = async holds => { for (let i = 0; i < 80 && !await holds(); i++) await page.waitForTimeout(100); };
  const readout = id => page.locator(`#${id} .widget-readout`).innerText();

  // One slider over a fit.
  await page.evaluate(() => window.run(window.cells.fit, 'fit'));
  found.start = await caption('fit').innerText();
  found.readout = await page.locator('#fit .widget-readout').innerText();
  const handle = page.locator('#fit .noUi-handle');
  const at = await handle.boundingBox();
  const middle = { x: at.x + at.width / 2, y: at.y + at.height / 2 };
  await page.mouse.move(middle.x, middle.y);
  await page.mouse.down();
  for (let i = 1; i <= 40; i++) await page.mouse.move(middle.x + 3 * i, middle.y);
  await page.mouse.up();
  await settled('fit', /^Now/);
  await until(async () => (await caption('fit').innerText()).startsWith(`Now straps ${Number(await readout('fit'))} N`));
  found.dragged = await caption('fit').innerText();
  found.draggedReadout = await page.locator('#fit .widget-readout').innerText();
  found.grey = await page.locator('#fit svg text', { hasText: /^grey: the start/ }).count();
  await page.screenshot({ path: `${folder}/dragged.png` });

  // By key, and from a typed number.
  await handle.focus();
  await page.keyboard.press('ArrowRight');
  await until(async () => await readout('fit') !== found.draggedReadout);
  found.key = await page.locator('#fit .widget-readout').innerText();
  await page.locator('#fit .widget-readout').fill('7.5');
  await page.keyboard.press('Enter');
  await settled('fit', 'straps 7.5 N');
  await page.locator('#fit button').click();
  await settled('fit', 'The start: straps 3 N.');
  await until(async () => await readout('fit') === '3.0');
  found.reset = await page.locator('#fit .widget-readout').innerText();

  // All kinds of controls at once.
  await page.evaluate(() => { document.getElementById('fit').hidden = true; return window.run(window.cells.all, 'all'); });
  found.all = await caption('all').innerText();
  await page.locator('#all select').selectOption('large');
  await settled('all', 'size large');
  await page.locator('#all input[type=checkbox]').click();
  await settled('all', 'on the left side on');
  await page.locator('#all .noUi-handle').nth(1).focus();
  await page.keyboard.press('ArrowRight');
  await settled('all', 'months 1');
  found.allMoved = await caption('all').innerText();
  await page.screenshot({ path: `${folder}/all.png` });

  // A function that fails at some positions.
  await page.evaluate(() => { document.getElementById('all').hidden = true; return window.run(window.cells.fails, 'fails'); });
  await page.locator('#fails .widget-readout').fill('9');
  await page.keyboard.press('Enter');
  await page.locator('#fails [role=status]').waitFor();
  found.note = await page.locator('#fails [role=status]').innerText();
  found.kept = await caption('fails').innerText();
  await page.screenshot({ path: `${folder}/fails.png`, clip: { x: 0, y: 0, width: 1000, height: 300 } });

  // A sweep, against its start.
  await page.evaluate(() => { document.getElementById('fails').hidden = true; return window.run(window.cells.sweep, 'sweep'); });
  await page.locator('#sweep .widget-readout').fill('5');
  await page.keyboard.press('Enter');
  await settled('sweep', 'Now straps 5 N');
  await page.screenshot({ path: `${folder}/sweep.png` });

  // Loaded again while the kernel lives, and opened without one.
  await page.evaluate(() => window.again(window.views.fit, 'again'));
  found.again = await page.locator('#again .widget-readout').innerText();
  await page.evaluate(async () => {
    const { state, view } = await (await fetch('/saved')).json();
    await window.saved(state, view, 'saved');
  });
  found.saved = await page.locator('#saved .widget-readout').innerText();
  found.errors = await page.evaluate(() => window.errors);
} catch (e) {
  found.failed = String(e.stack ?? e);
} finally {
  await browser.close();
}
console.log(JSON.stringify(found));
