import assert from 'node:assert/strict';
import { test } from 'node:test';

const { pack, unpack } = await import(`${process.env.COMPILED}/kernel.js`);
const message = more => ({ channel: 'shell', header: { msg_id: 'é\u{1F600}' }, parent_header: {}, metadata: { a: [1, null] }, content: { code: 'x\n' }, buffers: [], ...more });
const plain = m => ({ ...m, buffers: m.buffers.map(b => Array.from(b)) });

test('what is packed is unpacked', () => {
  for (const m of [message(), message({ buffers: [new Uint8Array([1, 2, 255]), new Uint8Array(0)] }), message({ content: {} })]) {
    assert.deepEqual(plain(unpack(pack(m))), plain(m));
  }
});

test('the table of places is the protocol\'s', () => {
  const data = pack(message({ buffers: [new Uint8Array(3)] })), view = new DataView(data);
  const n = Number(view.getBigUint64(0, true)), at = i => Number(view.getBigUint64(8 * (i + 1), true));
  assert.equal(n, 7); // channel, four parts, one buffer, and the end
  assert.equal(at(0), 8 * (n + 1));
  assert.equal(at(n - 1), data.byteLength);
  assert.equal(new TextDecoder().decode(new Uint8Array(data, at(0), at(1) - at(0))), 'shell');
});

test('what is cut short is refused', () => {
  const data = pack(message());
  for (const size of [0, 4, 30, data.byteLength - 5]) assert.throws(() => unpack(data.slice(0, size)));
});
