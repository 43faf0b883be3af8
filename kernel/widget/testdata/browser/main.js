// A front end of the smallest kind: it draws the kernel's controls with the
// published packages and shows what the kernel shows. For tests only.
import * as base from '@jupyter-widgets/base';
import * as controls from '@jupyter-widgets/controls';
import { ManagerBase } from '@jupyter-widgets/base-manager';
import { Widget } from '@lumino/widgets';
import '@jupyter-widgets/base/css/index.css';
import '@jupyter-widgets/controls/css/widgets-base.css';
import '@jupyter-widgets/controls/css/labvariables.css';

const modules = { '@jupyter-widgets/base': base, '@jupyter-widgets/controls': controls };
const viewType = 'application/vnd.jupyter.widget-view+json';
let messages = 0;

// A Comm is one channel to the kernel, as the packages want it.
class Comm {
  constructor(manager, id, target) {
    Object.assign(this, { manager, comm_id: id, target_name: target });
  }
  on_msg(f) { this.heard = f; }
  on_close(f) { this.closed = f; }
  open(data, callbacks, metadata) { return this.say('open', data, callbacks, metadata); }
  send(data, callbacks, metadata) { return this.say('msg', data, callbacks, metadata); }
  close(data, callbacks, metadata) { return this.say('close', data ?? {}, callbacks, metadata); }
  say(kind, data, callbacks, metadata) {
    const id = `m${++messages}`; // the order is kept, as a kernel's socket would
    const body = { order: messages, kind, id: this.comm_id, target: this.target_name, data, metadata: metadata ?? {} };
    ask('/comm', body).then(async all => {
      await this.manager.take(all, id);
      callbacks?.iopub?.status?.({ content: { execution_state: 'idle' } });
    });
    return id;
  }
}

class Manager extends ManagerBase {
  constructor(place) {
    super();
    Object.assign(this, { place, comms: {} });
  }
  loadClass(name, module) {
    const found = modules[module]?.[name];
    return found ? Promise.resolve(found) : Promise.reject(new Error(`no ${name} in ${module}`));
  }
  async _create_comm(target, id, data, metadata) {
    const comm = (this.comms[id ?? base.uuid()] = new Comm(this, id ?? base.uuid(), target));
    this.comms[comm.comm_id] = comm;
    if (data) comm.open(data, {}, metadata);
    return comm;
  }
  _get_comm_info() { return Promise.resolve({}); }

  // take does what the kernel's messages say, in order; parent is the message
  // that they answer.
  async take(all, parent) {
    for (const m of all) {
      const msg = { parent_header: { msg_id: parent }, metadata: m.metadata ?? {}, content: { comm_id: m.id, data: m.data }, buffers: [] };
      window.log.push(m.type);
      switch (m.type) {
        case 'comm_open': {
          const comm = (this.comms[m.id] = new Comm(this, m.id, m.target));
          await this.handle_comm_open(comm, msg);
          break;
        }
        case 'comm_msg': await this.comms[m.id]?.heard?.(msg); break;
        case 'comm_close': this.comms[m.id]?.closed?.(msg); break;
        case 'display': await this.show(m); break;
        case 'error': throw new Error(m.text);
      }
    }
  }

  async show(m) {
    let div = m.update && document.getElementById(m.id);
    if (!div) {
      div = this.place.appendChild(document.createElement('div'));
      div.id = m.id;
    }
    if (m.data[viewType]) return this.draw(m.data[viewType].model_id, div);
    div.innerHTML = m.data['text/html'];
  }

  async draw(id, div) {
    window.views[this.place.id] = id;
    const view = await this.create_view(await this.get_model(id));
    Widget.attach(view.luminoWidget, div);
  }
}

async function ask(path, body) {
  const reply = await fetch(path, { method: 'POST', body: JSON.stringify(body) });
  return reply.json();
}

window.log = [];
window.views = {}; // what is drawn in each place
window.errors = [];
window.addEventListener('error', e => window.errors.push(String(e.message)));
window.addEventListener('unhandledrejection', e => window.errors.push(String(e.reason)));
const complain = console.error;
console.error = (...a) => { window.errors.push(a.join(' ')); complain(...a); };

// run runs a cell and shows what it shows, in a place of its own.
window.run = async (code, name) => {
  const place = document.body.appendChild(document.createElement('section'));
  place.id = name;
  window.manager ??= new Manager(place);
  window.manager.place = place;
  await window.manager.take(await ask('/run', { code }), 'cell');
};

// again is the page loaded anew while the kernel lives: it asks for all states.
window.again = async (id, name) => {
  const place = document.body.appendChild(document.createElement('section'));
  place.id = name;
  const manager = new Manager(place);
  await manager._loadFromKernel();
  await manager.draw(id, place);
};

// saved is a notebook opened without a kernel: it has only what was saved.
window.saved = async (state, id, name) => {
  const place = document.body.appendChild(document.createElement('section'));
  place.id = name;
  const manager = new Manager(place);
  await manager.set_state(state);
  await manager.draw(id, place);
};
