// Drives the server with the client library of Jupyter's own front ends, as an
// editor that attaches to "an existing server" does. Says at the end, as JSON,
// what it saw.
//
//	node services.mjs ADDRESS TOKEN
import { createRequire } from 'node:module';

const { ServerConnection, KernelManager, SessionManager, KernelSpecManager, ContentsManager, Drive } = createRequire(import.meta.url)('@jupyterlab/services');

console.debug = console.info = console.warn = console.error; // what the library says is not the answer
const log = console.log;
console.log = console.error;
const [address, token] = process.argv.slice(2);
const serverSettings = ServerConnection.makeSettings({ baseUrl: `${address}/`, wsUrl: `${address.replace('http', 'ws')}/`, token, appendToken: true });
const saw = {};

/** heard waits until a signal brings something that fits. */
const heard = (signal, fits, what) => new Promise((resolve, reject) => {
  const late = setTimeout(() => reject(new Error(`waited in vain: ${what}`)), 60000);
  signal.connect(function take(_, value) {
    if (!fits(value)) return;
    signal.disconnect(take);
    clearTimeout(late);
    resolve(value);
  });
});

/** run executes a cell and gives its reply and what it showed. */
async function run(kernel, code) {
  const shown = [];
  const cell = kernel.requestExecute({ code });
  cell.onIOPub = m => shown.push(m);
  const reply = await cell.done;
  return { reply: reply.content, shown, of: type => shown.filter(m => m.header.msg_type === type).map(m => m.content) };
}

async function specs() {
  const manager = new KernelSpecManager({ serverSettings });
  await manager.ready;
  saw.specs = `${manager.specs.default} ${manager.specs.kernelspecs.tautline.display_name}`;
  manager.dispose();
}

async function contents() {
  const drive = new Drive({ serverSettings });
  const manager = new ContentsManager({ serverSettings, defaultDrive: drive });
  saw.folder = (await manager.get('')).content.map(f => f.name).join(' ');
  const notebook = await manager.get('a.ipynb', { content: true, type: 'notebook' });
  notebook.content.cells[0].source = 'changed';
  await manager.save('a.ipynb', notebook);
  saw.saved = [(await manager.get('a.ipynb')).content.cells[0].source].flat().join('');
  const fresh = await manager.newUntitled({ type: 'notebook' });
  await manager.rename(fresh.path, 'b.ipynb');
  const copy = await manager.copy('b.ipynb', '');
  await manager.delete(copy.path);
  const point = await manager.createCheckpoint('b.ipynb');
  await manager.restoreCheckpoint('b.ipynb', point.id);
  saw.checkpoints = (await manager.listCheckpoints('b.ipynb')).length;
  await manager.deleteCheckpoint('b.ipynb', point.id);
  saw.left = (await manager.get('')).content.map(f => f.name).join(' ');
  saw.refused = await manager.get('con.ipynb').then(() => 'nothing', e => e.message.length > 0 && `${e.response.status}`);
  manager.dispose();
}

async function cells(kernel) {
  saw.info = (await kernel.info).language_info.name;
  const sum = await run(kernel, 'force := 3*N\nforce + 1*N');
  saw.result = sum.of('execute_result')[0]?.data['text/plain'];
  saw.count = sum.reply.execution_count;
  saw.states = sum.of('status').map(s => s.execution_state).join(' ');
  saw.wrong = (await run(kernel, '3*N + 2*CmH2O')).reply.status;
  saw.complete = (await kernel.requestComplete({ code: 'forc', cursor_pos: 4 })).content.matches.includes('force');
  const inspected = (await kernel.requestInspect({ code: 'PutOn', cursor_pos: 3, detail_level: 0 })).content;
  saw.inspect = inspected.found && inspected.data['text/plain'].length > 0;
  saw.isComplete = (await kernel.requestIsComplete({ code: 'for {' })).content.status;
}

async function stopping(kernel) {
  const looping = kernel.requestExecute({ code: 'import "fmt"\nfmt.Println("at it")\nfor { }' });
  const output = new Promise(resolve => { looping.onIOPub = m => m.header.msg_type === 'stream' && resolve(); });
  await output;
  await kernel.interrupt();
  saw.interrupted = (await looping.done).content.ename;
  saw.kept = (await run(kernel, 'force')).of('execute_result')[0]?.data['text/plain'];
  await kernel.restart();
  saw.forgotten = (await run(kernel, 'force')).reply.status;
}

async function slider(kernel) {
  const comms = [];
  kernel.registerCommTarget('jupyter.widget', (comm, open) => comms.push({ comm, state: open.content.data.state }));
  const drawn = await run(kernel, 'Live(Count("n", 1, 9), func(n int) any { return n * 11 })');
  const handle = comms.find(c => c.state.value === 1 || c.state.value === 5);
  saw.picture = drawn.of('display_data').length > 0;
  const start = comms.map(c => `${c.state._model_name}`).join(' ');
  if (!handle) throw new Error(`no slider among ${start}`);
  const moved = heard(kernel.iopubMessage, m => m.header.msg_type === 'update_display_data' && JSON.stringify(m.content.data).includes('77'), 'the picture of 77');
  await handle.comm.send({ method: 'update', state: { value: 7 }, buffer_paths: [] }).done;
  await moved;
  saw.moved = true;
}

const sessions = new SessionManager({ serverSettings, kernelManager: new KernelManager({ serverSettings }) });
try {
  await specs();
  await contents();
  await sessions.ready;
  const session = await sessions.startNew({ path: 'a.ipynb', type: 'notebook', name: 'a.ipynb', kernel: { name: 'tautline' } });
  const again = await sessions.findByPath('a.ipynb');
  const states = new Set();
  session.kernel.statusChanged.connect((_, s) => states.add(s));
  saw.shared = again.kernel.id === session.kernel.id;
  await cells(session.kernel);
  await slider(session.kernel);
  await stopping(session.kernel);
  saw.thoughtDead = states.has('autorestarting') || states.has('dead');
  await session.shutdown();
  await sessions.refreshRunning();
  saw.running = Array.from(sessions.running()).length;
} catch (e) {
  saw.failed = String(e.stack ?? e);
}
log(JSON.stringify(saw));
process.exit(0);
