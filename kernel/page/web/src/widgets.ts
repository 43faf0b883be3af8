// Controls as the kernel describes them (Jupyter widget messages 2.1), drawn by
// the browser's own elements: labelled, reached by keyboard, with a number to
// type beside every slider.

import { html } from './clean.ts';
import { button, el } from './dom.ts';
import { newID } from './document.ts';
import type { Kernel, Message } from './kernel.ts';

type State = Record<string, any>;

const target = 'jupyter.widget', controlTarget = 'jupyter.widget.control';

/** A model that is moved faster than its kernel answers keeps only the last value that waits. */
interface Model {
  id: string;
  state: State;
  watchers: Set<() => void>;
  /** the message that the kernel has not finished with */
  under: string | null;
  waiting: State | null;
  at: number;
}

/** A kernel that says nothing about a message for this long gets the next one anyhow, in ms. */
const patience = 1000;

export class Controls {
  private models = new Map<string, Model>();
  private control: string | null = null;
  /** appeared is told when models came that a page may have views of. */
  appeared: () => void = () => {};

  constructor(private kernel: Kernel) {}

  /** heard takes a kernel's message; true if it was about a control. */
  heard(m: Message): boolean {
    const c = m.content;
    switch (m.header.msg_type) {
      case 'comm_open':
        if (c.target_name === target) this.add(c.comm_id, c.data?.state ?? {});
        return true;
      case 'comm_msg':
        this.update(c.comm_id, c.data ?? {});
        return true;
      case 'comm_close':
        this.models.delete(c.comm_id);
        return true;
      case 'status':
        if (c.execution_state === 'idle') this.finished(m.parent_header.msg_id);
    }
    return false;
  }

  private add(id: string, state: State): Model {
    const had = this.models.get(id);
    const m: Model = had ?? { id, state, watchers: new Set(), under: null, waiting: null, at: 0 };
    m.state = state;
    this.models.set(id, m);
    return m;
  }

  private update(id: string, data: State): void {
    if (id === this.control && data.method === 'update_states') {
      for (const [own, s] of Object.entries<State>(data.states ?? {})) this.add(own, s.state ?? {});
      this.appeared();
      return;
    }
    const m = this.models.get(id);
    if (!m || (data.method !== 'update' && data.method !== 'echo_update')) return;
    // What this page moved itself and still moves is not moved back.
    if (data.method === 'echo_update' && (m.under || m.waiting)) return;
    Object.assign(m.state, data.state);
    for (const w of m.watchers) w();
  }

  /** ask fetches what the kernel has, as after the page was loaded anew. */
  ask(): void {
    this.control = newID();
    this.kernel.send('shell', 'comm_open', { comm_id: this.control, target_name: controlTarget, data: {} }, 'w', { version: '1.0.0' });
    this.kernel.send('shell', 'comm_msg', { comm_id: this.control, data: { method: 'request_states' } }, 'w');
  }

  /** forget drops all: the kernel is another one. */
  forget(): void { this.models.clear(); }

  private set(m: Model, state: State): void {
    Object.assign(m.state, state);
    m.waiting = { ...m.waiting, ...state };
    for (const w of m.watchers) w();
    if (!m.under || performance.now() - m.at > patience) this.send(m);
  }

  private send(m: Model): void {
    if (!m.waiting) return;
    const state = m.waiting;
    m.waiting = null;
    m.at = performance.now();
    try {
      m.under = this.kernel.send('shell', 'comm_msg', { comm_id: m.id, data: { method: 'update', state, buffer_paths: [] } }, 'w');
    } catch { m.under = null; }
  }

  private finished(id: string): void {
    for (const m of this.models.values()) {
      if (m.under === id) {
        m.under = null;
        this.send(m);
      }
    }
  }

  private press(m: Model): void {
    this.kernel.send('shell', 'comm_msg', { comm_id: m.id, data: { method: 'custom', content: { event: 'click' } } }, 'w');
  }

  /** view draws a model, or gives null when the kernel knows none of that name. */
  view(id: string): HTMLElement | null {
    const m = this.models.get(id);
    if (!m) return null;
    const name = String(m.state._view_name ?? '').replace(/View$/, '');
    const draw = views[name];
    return draw ? draw(this, m) : el('p', { class: 'quiet' }, `This page does not draw a control of the kind ${name}.`);
  }

  child(reference: unknown): HTMLElement | null {
    return typeof reference === 'string' && reference.startsWith('IPY_MODEL_') ? this.view(reference.slice(10)) : null;
  }

  watch(m: Model, e: HTMLElement, f: () => void): HTMLElement {
    const w = () => { if (e.isConnected || !drawn.has(e)) f(); else m.watchers.delete(w); };
    m.watchers.add(w);
    f();
    window.setTimeout(() => drawn.add(e));
    return e;
  }

  move(m: Model, state: State): void { this.set(m, state); }
  click(m: Model): void { this.press(m); }
}

/** Elements that have been on the page: once they are gone, nobody watches for them. */
const drawn = new WeakSet<HTMLElement>();

type Draw = (c: Controls, m: Model) => HTMLElement;

let ids = 0;
const labelled = (m: Model): { id: string; label: HTMLElement } => {
  const id = `c${++ids}`;
  return { id, label: el('label', { for: id, title: m.state.tooltip ?? '' }, String(m.state.description ?? '')) };
};

/** How many digits a step asks for: 0.05 wants two. */
const digits = (step: number): number => Math.min(6, Math.max(0, -Math.floor(Math.log10(step) + 1e-9)));

/** The unit that a description ends in, for what is read aloud: "straps, N". */
const unitOf = (m: Model): string => /, ([^,]+)$/.exec(String(m.state.description ?? ''))?.[1] ?? '';

function slider(whole: boolean): Draw {
  return (c, m) => {
    const { id, label } = labelled(m);
    const range = el('input', { type: 'range', id }), number = el('input', { type: 'number', 'aria-label': `${m.state.description}, as a number` });
    const set = (x: number) => {
      const s = m.state, low = Number(s.min), high = Number(s.max), step = Number(s.step) || (whole ? 1 : (high - low) / 100);
      const v = Math.min(high, Math.max(low, low + Math.round((x - low) / step) * step));
      const rounded = whole ? Math.round(v) : Number(v.toFixed(digits(step) + 2));
      if (Number.isFinite(rounded) && rounded !== s.value) c.move(m, { value: rounded });
    };
    range.addEventListener('input', () => set(range.valueAsNumber));
    number.addEventListener('change', () => { if (Number.isFinite(number.valueAsNumber)) set(number.valueAsNumber); number.value = String(m.state.value); });
    const e = el('div', { class: 'control slider' }, label, range, number);
    return c.watch(m, e, () => {
      const s = m.state, step = Number(s.step) || 1;
      for (const i of [range, number]) {
        i.min = String(s.min);
        i.max = String(s.max);
        i.step = String(step);
        i.disabled = s.disabled === true;
      }
      if (range.valueAsNumber !== s.value) range.value = String(s.value);
      range.setAttribute('aria-valuetext', `${Number(s.value).toFixed(digits(step))} ${unitOf(m)}`.trim());
      if (document.activeElement !== number) number.value = Number(s.value).toFixed(digits(step));
    });
  };
}

function typed(kind: 'number' | 'text'): Draw {
  return (c, m) => {
    const { id, label } = labelled(m);
    const input = el('input', { type: kind, id });
    input.addEventListener('change', () => {
      const v = kind === 'number' ? input.valueAsNumber : input.value;
      if (kind === 'text' || Number.isFinite(v)) c.move(m, { value: v });
    });
    return c.watch(m, el('div', { class: 'control' }, label, input), () => {
      if (kind === 'number') { input.min = String(m.state.min ?? ''); input.max = String(m.state.max ?? ''); input.step = String(m.state.step ?? 'any'); }
      if (document.activeElement !== input) input.value = String(m.state.value ?? '');
    });
  };
}

const options = (m: Model): string[] => (m.state._options_labels ?? []).map(String);

const dropdown: Draw = (c, m) => {
  const { id, label } = labelled(m);
  const select = el('select', { id }, ...options(m).map((o, i) => el('option', { value: String(i) }, o)));
  select.addEventListener('change', () => c.move(m, { index: select.selectedIndex }));
  return c.watch(m, el('div', { class: 'control' }, label, select), () => { select.selectedIndex = m.state.index ?? -1; });
};

const radios: Draw = (c, m) => {
  const name = `c${++ids}`;
  const inputs = options(m).map((o, i) => {
    const input = el('input', { type: 'radio', value: String(i) });
    input.setAttribute('name', name);
    input.addEventListener('change', () => { if (input.checked) c.move(m, { index: i }); });
    return { input, label: el('label', { class: 'tick' }, input, o) };
  });
  const e = el('fieldset', { class: 'control' }, el('legend', {}, String(m.state.description ?? '')), ...inputs.map(i => i.label));
  return c.watch(m, e, () => inputs.forEach((x, i) => { x.input.checked = i === m.state.index; }));
};

const checkbox: Draw = (c, m) => {
  const input = el('input', { type: 'checkbox' });
  input.addEventListener('change', () => c.move(m, { value: input.checked }));
  const e = el('div', { class: 'control' }, el('label', { class: 'tick', title: m.state.tooltip ?? '' }, input, String(m.state.description ?? '')));
  return c.watch(m, e, () => { input.checked = m.state.value === true; });
};

const press: Draw = (c, m) => {
  const b = button('', () => c.click(m), { title: m.state.tooltip ?? '' });
  return c.watch(m, b, () => { b.textContent = String(m.state.description ?? ''); b.disabled = m.state.disabled === true; });
};

const words: Draw = (c, m) => {
  const e = el('div', { class: 'html', 'aria-live': 'off' });
  return c.watch(m, e, () => { e.replaceChildren(html(String(m.state.value ?? ''))); e.hidden = e.textContent === ''; });
};

const box = (kind: string): Draw => (c, m) => {
  const e = el('div', { class: kind });
  return c.watch(m, e, () => e.replaceChildren(...(m.state.children ?? []).map((x: unknown) => c.child(x)).filter((x: HTMLElement | null): x is HTMLElement => x !== null)));
};

const views: Record<string, Draw> = {
  FloatSlider: slider(false), IntSlider: slider(true), FloatText: typed('number'), BoundedFloatText: typed('number'),
  IntText: typed('number'), BoundedIntText: typed('number'), Text: typed('text'), Dropdown: dropdown, Select: dropdown,
  RadioButtons: radios, ToggleButtons: radios, Checkbox: checkbox, Button: press, HTML: words, HTMLMath: words, Label: words,
  VBox: box('column'), HBox: box('row-of'), Box: box('column'),
};
