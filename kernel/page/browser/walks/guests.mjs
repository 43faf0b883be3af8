// A notebook from somebody who means harm: nothing of it runs, nothing is
// fetched, nothing covers the page.
import { readFile } from 'node:fs/promises';
import { code, fits, notebook, same, text } from '../walk.mjs';

const attack = 'document.title="TAKEN"';
const html = `<script>${attack}</script><img src=x onerror='${attack}'><a href="javascript:${attack}">click</a><a href="data:text/html,<script>1</script>">data</a>
<style>body{display:none!important}</style><form action="http://example.invalid/"><input name="password"><button>Send</button></form>
<iframe src="javascript:parent.document.title='TAKEN'"></iframe><iframe srcdoc="<script>parent.document.title='TAKEN'</script>"></iframe>
<img src="http://example.invalid/x.png"><div style="position:fixed;inset:0;background:red" id="room">cover</div>
<base href="http://example.invalid/"><meta http-equiv="refresh" content="0;url=http://example.invalid/"><object data="x"></object><embed src="x">
<details open ontoggle='${attack}'>d</details><video src="http://example.invalid/v"></video><link rel="stylesheet" href="http://example.invalid/s.css">
<math><mtext><table><mglyph><style><img src=x onerror='${attack}'></style></mglyph></table></mtext></math><p>harmless words</p>`;
const svg = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="40" height="40" onload='${attack}'><script>${attack}</script>
<a xlink:href="javascript:${attack}"><rect width="40" height="40"/></a><image href="http://example.invalid/i.png" width="9" height="9"/>
<use href="http://example.invalid/u.svg#a"/><foreignObject><body xmlns="http://www.w3.org/1999/xhtml" onload='${attack}'><iframe srcdoc="x"></iframe></body></foreignObject>
<animate attributeName="href" values="javascript:${attack}"/><set attributeName="onmouseover" to='${attack}'/></svg>`;

/** A picture as the kernel writes them, an element a line. */
const picture = (fill, words, ...more) => ['<p>a</p>', '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="40" role="img" aria-labelledby="t">', `<title id="t">${words.split('<')[0]}</title>`,
  `<path fill="${fill}" d="M0 0L9 9Z"/>`, `<text x="1" y="9">${words}</text>`, ...more, '</svg>'].filter(Boolean).join('\n');

const shown = data => [{ output_type: 'display_data', data, metadata: {} }];

export const guests = {
  'a hostile notebook does nothing': {
    files: { 'n.ipynb': notebook(text(html), text(`[a](javascript:${attack}) ![i](http://example.invalid/m.png) $\\href{javascript:${attack}}{x}$ <b onclick='${attack}'>b</b>`),
      code('1', shown({ 'text/html': html })), code('2', shown({ 'image/svg+xml': svg })), code('3', shown({ 'text/markdown': html })),
      code('4', shown({ 'application/javascript': attack, 'text/plain': 'plain' })), code('5', shown({ 'image/png': `x" onerror="${attack}` })),
      code('6', [{ output_type: 'error', ename: 'E', evalue: html, traceback: [html] }]), code('7', shown({ 'text/latex': `\\href{javascript:${attack}}{x}` }))) },
    async walk(p) {
      const asked = [];
      p.page.on('request', r => { if (!r.url().startsWith(p.place.address) && !r.url().startsWith('data:') && !r.url().startsWith('blob:')) asked.push(r.url()); });
      await p.open('n.ipynb');
      const words = p.page.getByText('harmless words');
      await words.first().waitFor();
      // Everything in sight once, for what draws only when it is seen; and every link tried.
      for (let n = 1; n <= 9; n++) await p.cell(n).scrollIntoViewIfNeeded();
      for (const a of await p.page.locator('.cell a').all()) await a.dispatchEvent('click');
      await p.page.waitForTimeout(500);
      same(asked, [], 'what was fetched from elsewhere');
      same(await p.page.title(), 'n - tautline', 'the title');
      same(await p.page.locator('.cell').locator('script, iframe, form, input, object, embed, style, link, base, meta, video, foreignObject').count(), 0, 'elements that may not be there');
      const bad = await p.page.evaluate(() => Array.from(document.querySelectorAll('.cell *')).flatMap(e => Array.from(e.attributes, a => `${e.tagName} ${a.name}=${a.value}`))
        .filter(t => / on\w+=|=\s*javascript:|=\s*data:text/i.test(t)));
      same(bad, [], 'attributes that may not be there');
      const covers = await p.page.evaluate(() => Array.from(document.querySelectorAll('.cell .input *, .cell .outputs *')).filter(e => getComputedStyle(e).position === 'fixed').length);
      same(covers, 0, 'what lies over the page');
      fits(await p.page.locator('#room').count() === 1, 'the page keeps its own names');
    },
  },
  'a picture that turns hostile while it is shown': {
    files: { 'n.ipynb': notebook(code('1', shown({ 'text/html': picture('#111111', '5 N') }))) },
    async walk(p, place) {
      await p.open('n.ipynb');
      await p.page.locator('.output svg').evaluate(s => { s.mark = 'the same'; });
      const next = async (...lines) => {
        const before = JSON.parse(await readFile(place.file('n.ipynb'), 'utf8'));
        before.cells[0].outputs[0].data['text/html'] = picture(...lines);
        await p.page.evaluate(content => fetch('/api/contents/n.ipynb', { method: 'PUT', headers: { 'Content-Type': 'application/json', 'If-Match': '*' }, body: JSON.stringify({ type: 'notebook', format: 'json', content }) }), before);
      };
      const holds = words => p.page.locator('.output svg text', { hasText: words }).waitFor();
      const mark = () => p.page.locator('.output svg').evaluate(s => s.mark);
      await next('#222222', '6 N');
      await holds('6 N');
      same(await mark(), 'the same', 'other numbers are put into the picture that is there');
      for (const [fill, words, more] of [[`red" onclick="${attack.replaceAll('"', "'")}`, '7 N'], ['url(http://example.invalid/f.svg#a)', '8 N'], ['#333333', '9 N', `<script>${attack}</script>`],
        ['#333333', '10 N', '<image href="http://example.invalid/i.png"/>'], ['#333333" style="position:fixed', '11 N'], ['#333333', '12 N', `<rect width="9"/><img src="x" onerror='${attack}'/>`],
        ['#333333', `13 N</text><script>${attack}</script><text>`]]) {
        await next(fill, words, more);
        await holds(words.split('<')[0]);
        same(await p.page.locator('.outputs').locator('script, image, img, [onclick], [onerror], [style]').count(), 0, `what came with ${words}`);
        same(await p.page.title(), 'n - tautline', 'the title');
      }
    },
  },
};
