import assert from 'node:assert/strict';
import { test } from 'node:test';

const { marks } = await import(`${process.env.COMPILED}/stale.js`);

const cells = (...sources) => sources.map((source, i) => ({ id: `c${i}`, kind: 'code', source }));
const names = (...pairs) => pairs.map(([gives, uses]) => ({ gives, uses }));
const ran = (...sources) => new Map(sources.flatMap((source, i) => source === null ? [] : [[`c${i}`, { source, turn: i + 1 }]]));
const all = (...a) => Array.from(marks(...a).values());

const chain = names([['a'], []], [['b'], ['a']], [[], ['b']], [[], []]);
const text = ['a := 1', 'b := a', 'b', '7'];

test('nothing is marked after all ran in order', () => assert.deepEqual(all(cells(...text), chain, ran(...text)), ['', '', '', '']));

test('a changed text marks all that rest on it, and nothing else', () => {
  assert.deepEqual(all(cells('a := 2', ...text.slice(1)), chain, ran(...text)), ['edited', 'inputs', 'inputs', '']);
});

test('a cell that never ran bears no mark', () => assert.deepEqual(all(cells('a := 2', ...text.slice(1)), chain, ran(text[0], text[1], null, null)), ['edited', 'inputs', '', '']));

test('an input that ran again marks what ran before it', () => {
  const r = ran(...text);
  r.set('c0', { source: text[0], turn: 9 });
  assert.deepEqual(all(cells(...text), chain, r), ['', 'inputs', 'inputs', '']);
  r.set('c1', { source: text[1], turn: 10 });
  r.set('c2', { source: text[2], turn: 11 });
  assert.deepEqual(all(cells(...text), chain, r), ['', '', '', '']);
});

test('a name given anew in between cuts the chain', () => {
  const given = names([['a'], []], [['a'], []], [[], ['a']]);
  assert.deepEqual(all(cells('a := 2', 'a = 5', 'a'), given, ran('a := 1', 'a = 5', 'a')), ['edited', '', '']);
});

test('text cells give and use nothing', () => {
  const c = [{ id: 't', kind: 'markdown', source: 'a' }, ...cells('a')];
  assert.deepEqual(Array.from(marks(c, names([[], []], [[], []]), ran('a')).keys()), ['c0']);
});
