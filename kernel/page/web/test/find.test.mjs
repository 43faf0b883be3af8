import assert from 'node:assert/strict';
import { test } from 'node:test';

const { hits } = await import(`${process.env.COMPILED}/find.js`);
const cell = (id, source, ...outputs) => ({ id, source, outputs });

test('places in order, capitals as small letters', () => {
  const found = hits([cell('a', 'Straps and straps'), cell('b', 'none'), cell('c', 'STRAPS')], 'straps');
  assert.deepEqual(found.map(h => [h.cell, h.from, h.to]), [['a', 0, 6], ['a', 11, 17], ['c', 0, 6]]);
});

test('what cells show counts once', () => {
  const found = hits([cell('a', '1', { output_type: 'stream', text: ['leak leak'] }, { data: { 'text/plain': 'leak' } }), cell('b', 'x', { evalue: 'no leak' })], 'leak');
  assert.deepEqual(found.map(h => [h.cell, h.inOutput]), [['a', true], ['b', true]]);
});

test('nothing is found for nothing', () => assert.deepEqual(hits([cell('a', 'x')], ''), []));

test('places do not overlap', () => assert.equal(hits([cell('a', 'aaaa')], 'aa').length, 2));
