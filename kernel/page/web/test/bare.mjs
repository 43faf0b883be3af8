// The least of a browser that modules touch while they are loaded.
const kept = new Map();
globalThis.localStorage ??= { getItem: k => kept.get(k) ?? null, setItem: (k, v) => kept.set(k, String(v)) };
const element = () => ({ append() {}, setAttribute() {}, addEventListener() {}, dataset: {} });
globalThis.document ??= { createElement: element, addEventListener() {}, querySelector: () => null };
globalThis.window ??= globalThis;
