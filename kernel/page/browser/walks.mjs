// Takes the walks one by one and says, a line of JSON each, how they went. When
// a walk fails, a picture of the page at that moment is kept.
//
//	node walks.mjs SERVER CHROMIUM PICTURES [PART OF A NAME]
import { launch, Person, Place } from './walk.mjs';
import { barriers } from './walks/barriers.mjs';
import { editing } from './walks/editing.mjs';
import { guests } from './walks/guests.mjs';
import { keeping } from './walks/keeping.mjs';
import { lessons } from './walks/lessons.mjs';
import { looking } from './walks/looking.mjs';
import { running } from './walks/running.mjs';
import { shelf } from './walks/shelf.mjs';

const [binary, chromium, pictures, only = ''] = process.argv.slice(2);
const walks = { ...shelf, ...editing, ...running, ...keeping, ...looking, ...lessons, ...guests, ...barriers };

async function take(browser, name, { files = {}, window, walk }) {
  const began = performance.now();
  let place, person, failed = '';
  try {
    place = await Place.make(binary, typeof files === 'function' ? await files() : files);
    person = await Person.sit(browser, place, window);
    await walk(person, place, browser);
    if (person.trouble.length > 0) throw new Error(`errors on the page: ${person.trouble.join('; ')}`);
  } catch (e) {
    failed = String(e.stack ?? e);
    await person?.page.screenshot({ path: `${pictures}/${name.replaceAll(' ', '-')}.png` }).catch(() => {});
  } finally {
    await person?.close().catch(() => {});
    await place?.close();
  }
  console.log(JSON.stringify({ name, failed, seconds: Math.round(performance.now() - began) / 1000 }));
}

const browser = await launch(chromium);
try {
  for (const [name, w] of Object.entries(walks)) if (name.includes(only)) await take(browser, name, w);
} finally {
  await browser.close();
}
