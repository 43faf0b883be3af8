// The socket to a kernel: requests out, answers and news in. It connects again
// by itself after the server was away or the computer asleep.

import * as api from './api.ts';

export interface Message {
  channel: string;
  header: Record<string, any>;
  parent_header: Record<string, any>;
  metadata: Record<string, any>;
  content: Record<string, any>;
  buffers: Uint8Array[];
}

export type Link = 'connected' | 'connecting' | 'lost';

const protocol = 'v1.kernel.websocket.jupyter.org';
const encoder = new TextEncoder(), decoder = new TextDecoder();

export function pack(m: Message): ArrayBuffer {
  const texts = [m.channel, ...[m.header, m.parent_header, m.metadata, m.content].map(x => JSON.stringify(x))];
  const parts: Uint8Array[] = [...texts.map(s => encoder.encode(s)), ...m.buffers];
  const table = 8 * (parts.length + 2);
  const size = parts.reduce((n, p) => n + p.length, table);
  const out = new ArrayBuffer(size), view = new DataView(out), bytes = new Uint8Array(out);
  view.setBigUint64(0, BigInt(parts.length + 1), true);
  let at = table;
  parts.forEach((p, i) => {
    view.setBigUint64(8 * (i + 1), BigInt(at), true);
    bytes.set(p, at);
    at += p.length;
  });
  view.setBigUint64(8 * (parts.length + 1), BigInt(at), true);
  return out;
}

export function unpack(data: ArrayBuffer): Message {
  const view = new DataView(data), bytes = new Uint8Array(data);
  const n = Number(view.getBigUint64(0, true));
  const offset = (i: number) => Number(view.getBigUint64(8 * (i + 1), true));
  const parts: Uint8Array[] = [];
  for (let i = 0; i < n - 1; i++) parts.push(bytes.subarray(offset(i), offset(i + 1)));
  const text = (i: number) => decoder.decode(parts[i]);
  return {
    channel: text(0), header: JSON.parse(text(1)), parent_header: JSON.parse(text(2)),
    metadata: JSON.parse(text(3)), content: JSON.parse(text(4)), buffers: parts.slice(5),
  };
}

/** How long to wait before trying again, longer each time, in ms. */
const waits = [100, 300, 1000, 2000, 3000];

export class Kernel {
  session: api.Session | null = null;
  link: Link = 'connecting';
  state = 'starting';
  private socket: WebSocket | null = null;
  private tries = 0;
  private timer: number | undefined;
  private waiting = new Map<string, { resolve: (m: Message) => void; reject: (e: Error) => void }>();
  private sent = 0;
  private ended = false;
  private readonly username = 'page';
  /** heard takes everything but replies to ask. */
  heard: (m: Message) => void = () => {};
  /** changed is told when link or state is another one. */
  changed: () => void = () => {};
  /** fresh is told when the kernel is not the one of before: nothing that ran is known to it. */
  fresh: () => void = () => {};

  constructor(private path: string) {
    window.addEventListener('online', () => this.retry());
    document.addEventListener('visibilitychange', () => { if (!document.hidden) this.retry(); });
  }

  moved(path: string): void {
    this.path = path;
    if (this.session) void api.moveSession(this.session.id, path);
  }

  private set(link: Link): void {
    if (link === this.link) return;
    this.link = link;
    this.changed();
  }

  /** connect opens session and socket, and keeps trying. */
  async connect(): Promise<void> {
    if (this.ended || this.socket) return;
    window.clearTimeout(this.timer);
    try {
      const before = this.session?.kernel.id;
      this.session = await api.openSession(this.path);
      if (before && before !== this.session.kernel.id) this.fresh();
      await this.openSocket(this.session.kernel.id);
      this.tries = 0;
      this.set('connected');
      await this.greet();
    } catch {
      this.again();
    }
  }

  /** greet asks a kernel that starts to answer: until it is asked something it says nothing, not even that it is ready. */
  private async greet(): Promise<void> {
    const info = await this.ask('shell', 'kernel_info_request', {});
    if (info.content.status === 'ok' && this.state === 'starting') this.setState('idle');
  }

  private openSocket(kernel: string): Promise<void> {
    return new Promise((resolve, reject) => {
      const scheme = location.protocol === 'https:' ? 'wss' : 'ws';
      const s = new WebSocket(`${scheme}://${location.host}/api/kernels/${kernel}/channels?session_id=${api.pageID}&page=1`, [protocol]);
      s.binaryType = 'arraybuffer';
      s.onopen = () => { this.socket = s; resolve(); };
      s.onerror = () => reject(new Error('no connection'));
      s.onclose = () => {
        reject(new Error('no connection'));
        if (this.socket === s) this.lost();
      };
      s.onmessage = e => this.take(unpack(e.data as ArrayBuffer));
    });
  }

  private lost(): void {
    this.socket = null;
    for (const w of this.waiting.values()) w.reject(new Error('The connection was lost.'));
    this.waiting.clear();
    this.again();
  }

  private again(): void {
    if (this.ended) return;
    this.socket?.close();
    this.socket = null;
    this.set('lost');
    this.timer = window.setTimeout(() => void this.connect(), waits[Math.min(this.tries++, waits.length - 1)]);
  }

  private retry(): void {
    if (this.link === 'lost') { this.tries = 0; void this.connect(); }
  }

  private take(m: Message): void {
    if (m.channel === 'iopub' && m.header.msg_type === 'status') this.setState(m.content.execution_state);
    const asked = m.channel !== 'iopub' ? this.waiting.get(m.parent_header.msg_id) : undefined;
    if (asked) {
      this.waiting.delete(m.parent_header.msg_id);
      asked.resolve(m);
    }
    this.heard(m);
  }

  private setState(s: string): void {
    const was = this.state;
    this.state = s;
    if (s === 'restarting') {
      for (const w of this.waiting.values()) w.reject(new Error('The kernel was started anew.'));
      this.waiting.clear();
      this.fresh();
    }
    if (s === 'starting' && was === 'restarting') void this.greet().catch(() => {}); // a lost connection greets again
    if (s !== was) this.changed();
    if (s === 'dead') { this.session = null; this.socket?.close(); }
  }

  /** send gives the id of the message; with a mark, the id begins with it. */
  send(channel: string, kind: string, content: Record<string, unknown>, mark = 'm', metadata = {}): string {
    const id = `${mark}.${api.pageID}.${++this.sent}`;
    if (!this.socket || this.socket.readyState !== WebSocket.OPEN) throw new Error('There is no connection to the kernel at the moment; the page is trying.');
    this.socket.send(pack({
      channel, parent_header: {}, metadata, content, buffers: [],
      header: { msg_id: id, msg_type: kind, session: api.pageID, username: this.username, version: '5.4', date: new Date().toISOString() },
    }));
    return id;
  }

  ask(channel: string, kind: string, content: Record<string, unknown>, mark?: string): Promise<Message> {
    return new Promise((resolve, reject) => {
      try {
        const id = this.send(channel, kind, content, mark);
        this.waiting.set(id, { resolve, reject });
      } catch (e) {
        reject(e as Error);
      }
    });
  }

  /** How much the browser has not sent yet: a dragged slider waits for it. */
  get backlog(): number { return this.socket?.bufferedAmount ?? 0; }

  async interrupt(): Promise<void> { if (this.session) await api.interrupt(this.session.kernel.id); }
  async restart(): Promise<void> { if (this.session) await api.restart(this.session.kernel.id); }

  close(): void {
    this.ended = true;
    window.clearTimeout(this.timer);
    this.socket?.close();
  }
}
