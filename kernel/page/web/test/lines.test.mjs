import assert from 'node:assert/strict';
import { test } from 'node:test';

const { places, read, split } = await import(`${process.env.COMPILED}/lines.js`);

const path = d => `<path fill="#0b5c66" d="${d}"/>`;
const words = (x, t) => `<text x="${x}" transform="rotate(-90 1 2)">${t}</text>`;
const picture = (...lines) => ['<svg width="9" height="9">', ...lines, '</svg>'].join('\n');

test('text and drawings are told apart', () => {
  const s = split(`<p>a</p>\n${picture(path('M0 0'))}\n<p>b</p>${picture()}`);
  assert.deepEqual(s.between, ['<p>a</p>\n', '\n<p>b</p>', '']);
  assert.deepEqual(s.drawings.map(d => d.lines), [[path('M0 0')], []]);
});

test('a drawing of another make is left to be drawn whole', () => {
  for (const line of ['<g><path d="M0 0"/></g>', '<path d="M0 0"/><path d="M1 1"/>', 'loose words', '<g>', '<svg>', '<path d=">"/>', '<!-- x -->']) {
    assert.equal(split(picture(line)), null, line);
  }
  assert.equal(split('<svg width="9">\n' + path('M0 0')), null, 'without an end');
});

test('only what draws is written over', () => {
  assert.deepEqual(read(words('3', '5 N')), { tag: 'text', attributes: [['x', '3'], ['transform', 'rotate(-90 1 2)']], words: '5 N' });
  for (const line of ['<path onclick="x" d="M0 0"/>', '<path style="fill: red" d="M0 0"/>', '<path fill="url(#a)" d="M0 0"/>', '<path fill="url(http://x.invalid/)"/>',
    '<path id="a" d="M0 0"/>', '<path class="bar"/>', '<image href="http://x.invalid/"/>', '<a href="x">b</a>', '<script>1</script>', '<use href="#a"/>',
    '<text transform="url(1)">a</text>', '<text x="1">a &lt; b</text>', "<path d='M0 0'/>", '<path d=M0/>', '<title>t</title>', '<PATH d="M0 0"/>']) {
    assert.equal(read(line), null, line);
  }
});

test('lines keep their place when only values differ', () => {
  assert.deepEqual(places([path('M0 0'), words(1, 'a')], [path('M5 5'), words(2, 'b')]), [0, 1]);
});

test('what came in between is new, what went leaves no gap', () => {
  const a = [path('M0 0'), words(1, 'a'), '<rect x="1"/>'], more = [a[0], '<circle r="1"/>', ...a.slice(1)];
  assert.deepEqual(places(a, more), [0, -1, 1, 2]);
  assert.deepEqual(places(more, a), [0, 2, 3]);
  assert.deepEqual(places([], a), [-1, -1, -1]);
  assert.deepEqual(places(a, []), []);
});

test('lines that repeat are counted once', () => assert.deepEqual(places([path(1), path(2)], [path(1)]), [0]));
