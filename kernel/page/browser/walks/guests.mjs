// A notebook from somebody who means harm: nothing of it runs, nothing is
// fetched, nothing covers the page.
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
};
