import assert from 'node:assert/strict';
import { test } from 'node:test';

const { copyOf, Document, newCell } = await import(`${process.env.COMPILED}/document.js`);

const file = (...sources) => ({
  cells: sources.map((source, i) => ({ cell_type: 'code', id: `c${i}`, metadata: {}, source, outputs: [], execution_count: null, ours: { kept: i } })),
  metadata: { kernelspec: { name: 'tautline' }, foreign: [1] }, nbformat: 4, nbformat_minor: 5, more: 'kept',
});
const texts = d => d.cells.map(c => c.source);
const ids = d => d.cells.map(c => c.id);

/** A small generator of numbers, so that a failure can be had again. */
function dice(seed) {
  let s = seed;
  return n => { s = (s * 1103515245 + 12345) % 2147483648; return Math.floor(s / 65536) % n; };
}

/** One change as a person might make it. */
function change(d, roll) {
  const at = roll(d.cells.length), cell = d.cells[at];
  switch (roll(7)) {
    case 0: return d.insert(at, newCell('code', `new ${roll(100)}`));
    case 1: return d.remove([cell.id]);
    case 2: return d.move(cell.id, roll(2) ? 1 : -1);
    case 3: return d.split(cell.id, roll(cell.source.length + 1));
    case 4: return d.merge(cell.id);
    case 5: return d.setKind(cell.id, ['code', 'markdown', 'raw'][roll(3)]);
    case 6: return d.insert(at, copyOf(cell), copyOf(cell));
  }
}

test('every change can be undone and done again', () => {
  for (let seed = 1; seed <= 200; seed++) {
    const d = new Document(file('a := 1\nb := 2', 'c', '')), roll = dice(seed);
    const states = [JSON.stringify(d.write().cells)];
    for (let i = 0; i < 12; i++) {
      change(d, roll);
      const now = JSON.stringify(d.write().cells);
      if (now !== states[states.length - 1]) states.push(now);
    }
    for (let i = states.length - 1; i >= 0; i--) {
      assert.equal(JSON.stringify(d.write().cells), states[i], `seed ${seed}, ${i} back`);
      const changed = () => JSON.stringify(d.write().cells) !== states[i];
      while (i > 0 && d.undo() && !changed());
    }
    for (let i = 1; i < states.length; i++) {
      while (d.redo() && JSON.stringify(d.write().cells) === states[i - 1]);
      assert.equal(JSON.stringify(d.write().cells), states[i], `seed ${seed}, ${i} again`);
    }
  }
});

test('a notebook is never without a cell, and no two have one name', () => {
  for (let seed = 1; seed <= 100; seed++) {
    const d = new Document(file('x', 'y')), roll = dice(seed);
    for (let i = 0; i < 30; i++) {
      if (roll(4) === 0) d.undo();
      else change(d, roll);
      assert.ok(d.cells.length > 0);
      assert.equal(new Set(ids(d)).size, d.cells.length, `seed ${seed}`);
    }
  }
});

test('split and join give the text back', () => {
  const source = 'a := 1\nb := "\u{1F600}"\n\nc := 3';
  for (let at = 0; at <= source.length; at++) {
    const d = new Document(file(source));
    d.split('c0', at);
    assert.equal(d.cells.length, 2);
    // What is lost is at most the end of the line at which it was cut.
    assert.equal(texts(d).join('').replaceAll('\n', ''), source.replaceAll('\n', ''));
    d.undo();
    assert.deepEqual(texts(d), [source]);
  }
  const d = new Document(file(source));
  d.split('c0', 'a := 1'.length);
  d.merge(d.cells[0].id);
  assert.deepEqual(texts(d), [source]);
});

test('what is typed and shown meanwhile outlives undo', () => {
  const d = new Document(file('a', 'b', 'c'));
  d.remove(['c2']);
  d.setSource(d.cells[0], 'typed later');
  d.setOutputs(d.cells[1], [{ output_type: 'stream', name: 'stdout', text: 'later' }], 7);
  d.undo();
  assert.deepEqual(texts(d), ['typed later', 'b', 'c']);
  assert.equal(d.cells[1].outputs[0].text, 'later');
});

test('what it does not know of a file stays', () => {
  const d = new Document(file('a\nb'));
  const out = d.write();
  assert.equal(out.more, 'kept');
  assert.deepEqual(out.metadata.foreign, [1]);
  assert.deepEqual(out.cells[0].ours, { kept: 0 });
  assert.deepEqual(out.cells[0].source, ['a\n', 'b']);
});

test('names that are missing, doubled or not allowed are made anew', () => {
  const f = file('a', 'b', 'c', 'd');
  f.cells[1].id = 'c0';
  f.cells[2].id = 'not allowed!';
  delete f.cells[3].id;
  const d = new Document(f);
  assert.equal(d.cells[0].id, 'c0');
  assert.equal(new Set(ids(d)).size, 4);
  for (const id of ids(d)) assert.match(id, /^[A-Za-z0-9_-]{1,64}$/);
});

test('it is changed until the revision that was saved', () => {
  const d = new Document(file('a'));
  assert.ok(!d.dirty);
  d.setSource(d.cells[0], 'b');
  const at = d.revision;
  d.setSource(d.cells[0], 'c');
  d.markSaved(at);
  assert.ok(d.dirty);
  d.markSaved(d.revision);
  assert.ok(!d.dirty);
});

test('what is not a notebook is refused in a sentence', () => {
  for (const bad of [null, 3, {}, { cells: 'x' }]) assert.throws(() => new Document(bad), /not a notebook/);
});
