import assert from 'node:assert/strict';
import { test } from 'node:test';

const { Keys } = await import(`${process.env.COMPILED}/keys.js`);
const key = (k, more = {}) => ({ key: k, ctrlKey: false, metaKey: false, altKey: false, shiftKey: false, isComposing: false, ...more });

test('the three ways to run', () => {
  const k = new Keys();
  assert.equal(k.anywhere(key('Enter', { shiftKey: true })), 'runNext');
  assert.equal(k.anywhere(key('Enter', { ctrlKey: true })), 'runStay');
  assert.equal(k.anywhere(key('Enter', { metaKey: true })), 'runStay');
  assert.equal(k.anywhere(key('Enter', { altKey: true })), 'runAdd');
  assert.equal(k.anywhere(key('Enter')), null);
  assert.equal(k.anywhere(key('Enter', { shiftKey: true, isComposing: true })), null); // it ends a composed letter
});

test('letters mean something on a cell only, and with no modifier', () => {
  const k = new Keys();
  for (const [letter, verb] of Object.entries({ a: 'above', b: 'below', z: 'undo', m: 'markdown', y: 'code', r: 'raw', h: 'help', x: 'cut', c: 'copy', v: 'paste' })) {
    assert.equal(k.onCell(key(letter)), verb);
    assert.equal(k.anywhere(key(letter)), null);
    assert.equal(k.onCell(key(letter, { ctrlKey: true })), null);
  }
  assert.equal(k.onCell(key('Z', { shiftKey: true })), 'redo');
});

test('two letters in a row, not one, not three as two pairs', () => {
  const k = new Keys();
  assert.equal(k.onCell(key('d')), null);
  assert.equal(k.onCell(key('d')), 'delete');
  assert.equal(k.onCell(key('d')), null);
  assert.equal(k.onCell(key('j')), 'down');
  assert.equal(k.onCell(key('d')), null);
  assert.equal(k.onCell(key('d')), 'delete');
});

test('two letters far apart are two letters', t => {
  const k = new Keys(), now = performance.now();
  const clock = t.mock.method(performance, 'now', () => now);
  assert.equal(k.onCell(key('0')), null);
  clock.mock.mockImplementation(() => now + 5000);
  assert.equal(k.onCell(key('0')), null);
});

test('letters can be switched off, arrows and Enter stay', () => {
  const k = new Keys();
  k.toggleLetters();
  assert.equal(k.onCell(key('a')), null);
  assert.equal(k.onCell(key('ArrowDown')), 'down');
  assert.equal(k.onCell(key('Enter')), 'edit');
  assert.equal(new Keys().letters, false); // remembered
  k.toggleLetters();
});
