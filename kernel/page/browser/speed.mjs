// Measures what a person waits for, and prints it. It is no test: times belong
// to the machine they were taken on.
//
//	node speed.mjs SERVER CHROMIUM
import { code, launch, notebook, Person, Place, text } from './walk.mjs';

const [binary, chromium] = process.argv.slice(2);
const browser = await launch(chromium);
const median = list => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];
const ms = x => `${Math.round(x)} ms`;

/** worked says how long the page's own thread computed since it was last asked. Unlike times it does not count what
 * other programs took meanwhile, so it can be compared on a busy machine. */
async function worked(p) {
  if (!p.devtools) {
    p.devtools = await p.context.newCDPSession(p.page);
    await p.devtools.send('Performance.enable', { timeDomain: 'threadTicks' });
  }
  const { metrics } = await p.devtools.send('Performance.getMetrics');
  const now = metrics.find(m => m.name === 'TaskDuration').value * 1000, before = p.before ?? 0;
  p.before = now;
  return ms(now >= before ? now - before : now);
}

/** paint: when something of the page was first seen, and when a cell could be run. */
async function paint(p, name) {
  const firsts = [], readies = [];
  for (let i = 0; i < 5; i++) {
    await p.page.goto('about:blank');
    await p.open(name);
    const [first, ready] = await p.page.evaluate(() => [performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? NaN, performance.now()]);
    firsts.push(first);
    readies.push(ready);
  }
  await worked(p);
  await p.open(name);
  console.log(`${name}: the page's thread worked ${await worked(p)} until it was ready`);
  console.log(`${name}: first paint ${ms(median(firsts))}, ready to run ${ms(median(readies))} (medians of 5)`);
}

/** drag moves a slider for two seconds, and counts how often what it shows changed. */
async function drag(p) {
  await p.open('slider.ipynb');
  await p.press('Run all');
  const range = p.output(2).getByRole('slider');
  await p.output(2).locator('svg').first().waitFor();
  await p.ready();
  await p.page.evaluate(() => {
    window.drawn = [];
    // A picture is changed in place or comes as a whole; either is one redraw, and there is one a frame at most.
    const inPicture = m => m.target.closest?.('svg') || Array.from(m.addedNodes).some(n => n.querySelector?.('svg'));
    new MutationObserver(list => { if (list.some(inPicture)) window.drawn.push(performance.now()); })
      .observe(document.querySelectorAll('.cell')[1].querySelector('.outputs'), { childList: true, subtree: true, attributes: true });
  });
  const b = await range.boundingBox();
  await p.page.mouse.move(b.x + b.width * 0.3, b.y + b.height / 2);
  await p.page.mouse.down();
  await worked(p);
  const until = performance.now() + 2000;
  // A hand does not wait for the page: a move each 16 ms, whatever became of the last.
  const moves = [];
  for (let i = 0; performance.now() < until; i++) {
    moves.push(p.page.mouse.move(b.x + b.width * (0.5 + 0.35 * Math.sin(i / 20)), b.y + b.height / 2));
    await new Promise(r => setTimeout(r, 16));
  }
  await Promise.all(moves);
  await p.page.mouse.up();
  const drawn = await p.page.evaluate(() => window.drawn);
  console.log(`slider over a fit: the page's thread worked ${await worked(p)} for ${drawn.length} redraws`);
  const gaps = drawn.slice(1).map((t, i) => t - drawn[i]);
  console.log(`slider over a fit: ${(drawn.length / 2).toFixed(0)} redraws a second, median gap ${ms(median(gaps))}, longest ${ms(Math.max(...gaps))}`);
}

/** large scrolls through and types in a notebook of 500 cells with 200 pictures. */
async function large(p) {
  await worked(p);
  const began = performance.now();
  await p.open('large.ipynb');
  console.log(`500 cells, 200 pictures: open and ready in ${ms(performance.now() - began)}, the page's thread worked ${await worked(p)}`);
  const frames = await p.page.evaluate(async () => {
    const gaps = [];
    let before = performance.now();
    for (let y = 0; y < document.documentElement.scrollHeight && gaps.length < 200; y += 300) {
      window.scrollTo(0, y);
      await new Promise(requestAnimationFrame);
      gaps.push(performance.now() - before);
      before = performance.now();
    }
    return gaps;
  });
  console.log(`  scrolling: median frame ${ms(median(frames))}, 95th ${ms([...frames].sort((a, b) => a - b)[Math.floor(frames.length * 0.95)])}, longest ${ms(Math.max(...frames))}; worked ${await worked(p)} for ${frames.length} frames`);
  await p.page.evaluate(() => window.scrollTo(0, 0));
  await p.cell(2).locator('.input').click();
  await p.page.evaluate(() => {
    window.keys = [];
    document.addEventListener('keydown', e => { const t = e.timeStamp; requestAnimationFrame(() => setTimeout(() => window.keys.push(performance.now() - t))); }, true);
  });
  await p.page.keyboard.type('// words that somebody types in a large notebook', { delay: 60 });
  const keys = await p.page.evaluate(() => window.keys);
  console.log(`  typing: from key to picture median ${ms(median(keys))}, longest ${ms(Math.max(...keys))}; worked ${await worked(p)} for ${keys.length} keys`);
  // The pauses after typing, in which a draft and the file are kept, are felt as well.
  await p.page.evaluate(() => { window.long = []; new PerformanceObserver(l => window.long.push(...l.getEntries().map(e => e.duration))).observe({ type: 'longtask' }); });
  await p.page.waitForTimeout(4500);
  console.log(`  saving: longest pause ${ms(Math.max(0, ...await p.page.evaluate(() => window.long)))}`);
}

const lesson = notebook(text('# A'), ...Array.from({ length: 20 }, (_, i) => code(`a${i} := ${i}`)));
const slider = notebook(code('mask := Mask("nasal", "medium")\nface := Face("narrow bridge")'),
  code('Live(Slider("straps", 1*N, 8*N).Start(3*N), func(f Force) any { return PutOn(mask, face, Straps(f)).At(12*CmH2O) })'));
const curve = n => `<svg xmlns="http://www.w3.org/2000/svg" width="800" height="400" viewBox="0 0 800 400"><title>curve ${n}</title>${Array.from({ length: 150 }, (_, i) =>
  `<circle cx="${i * 5}" cy="${200 + 150 * Math.sin(i / 9 + n)}" r="3" fill="#0b5c66"/>`).join('')}<text x="20" y="30">curve ${n}</text></svg>`;
const large500 = notebook(...Array.from({ length: 500 }, (_, i) => i % 5 < 2
  ? code(`x${i} := ${i} // a line of code\nx${i}`, [{ output_type: 'display_data', data: { 'image/svg+xml': curve(i), 'text/plain': 'curve' }, metadata: {} }])
  : text(`## Heading ${i}\n\nA paragraph with $x_${i}$ and **words**, long enough to fill more than a line of the window in which it is read.`)));
const place = await Place.make(binary, { 'lesson.ipynb': lesson, 'slider.ipynb': slider, 'large.ipynb': large500 });
try {
  const p = await Person.sit(browser, place);
  p.context.setDefaultTimeout(60000);
  await paint(p, 'lesson.ipynb');
  for (let i = 0; i < 5; i++) await drag(p); // the best and the median count: the machine does other things too
  await large(p);
} finally {
  await browser.close();
  await place.close();
}
