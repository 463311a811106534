// The engine behind a page: in a worker made from the page's own text, so that controls stay live while it thinks; where a browser allows
// no worker, in the page itself. Questions and answers are those of questions.hpp.

// A module of the engine, ready to be asked: put(name, text), ask(question) -> {status, text}.
async function makeEngine(factory, wasm) {
  const m = await factory({wasmBinary: wasm});
  const copied = bytes => {
    const at = m._malloc(bytes.length + 1);
    m.HEAPU8.set(bytes, at);
    m.HEAPU8[at + bytes.length] = 0;
    return at;
  };
  const utf8 = new TextEncoder(), text = new TextDecoder();
  return {
    put(name, contents) {
      const bytes = utf8.encode(contents), n = copied(utf8.encode(name)), at = copied(bytes);
      const done = m._lh_put(n, at, bytes.length);
      m._free(n), m._free(at);
      if (!done) throw new Error('no file can be called ' + name);
    },
    ask(question) {
      const q = copied(utf8.encode(JSON.stringify(question)));
      const status = m._lh_ask(q);
      m._free(q);
      const from = m._lh_said();
      return {status, text: text.decode(m.HEAPU8.slice(from, from + m._lh_said_size()))};
    },
  };
}

// One message at a time: files to put, then a question. What goes wrong beside the engine's own faults is status 3 too.
function answerMessage(engine, message) {
  const began = performance.now();
  const answer = ({status, text}) => ({id: message.id, status, text, ms: performance.now() - began});
  try {
    for (const [name, contents] of message.files || []) engine.put(name, contents);
    return answer(engine.ask(message.question));
  } catch (fault) {
    return answer({status: 3, text: String(fault && fault.message || fault)});
  }
}

// It travels as gzip in base64.
async function wasmFromPage() {
  const packed = atob(document.getElementById('wasm').textContent.trim());
  const bytes = new Uint8Array(packed.length);
  for (let i = 0; i < packed.length; ++i) bytes[i] = packed.charCodeAt(i);
  const whole = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Uint8Array(await new Response(whole).arrayBuffer());
}

// What a page calls. ask(question, files) resolves to {status, text, ms}; questions are answered in their order.
class Engine {
  constructor() {
    this.waiting = new Map();
    this.next = 1;
    this.inWorker = false;
    this.ready = this.start();
  }

  async start() {
    const wasm = await wasmFromPage();
    try {
      await this.startWorker(wasm);
      this.inWorker = true;
    } catch (e) {
      const engine = await makeEngine(leafhungerEngine, wasm);
      this.send = message => setTimeout(() => this.hear(answerMessage(engine, message)));
    }
  }

  startWorker(wasm) {
    const loop = `
      let engine;
      onmessage = async e => {
        if (!e.data.wasm) return postMessage(answerMessage(engine, e.data));
        try {
          engine = await makeEngine(leafhungerEngine, e.data.wasm);
          postMessage({ready: true});
        } catch (fault) {
          postMessage({text: String(fault && fault.message || fault)});
        }
      };`;
    const source = [document.getElementById('engine').textContent, makeEngine, answerMessage, loop].join('\n');
    const address = URL.createObjectURL(new Blob([source], {type: 'text/javascript'}));
    const worker = new Worker(address);
    return new Promise((resolve, reject) => {
      const lost = setTimeout(() => reject(new Error('the worker did not start')), 15000);
      worker.onerror = e => { e.preventDefault(); clearTimeout(lost); worker.terminate(); reject(new Error('no worker')); };
      worker.onmessage = e => {
        clearTimeout(lost);
        URL.revokeObjectURL(address);
        if (!e.data.ready) return reject(new Error(e.data.text));
        worker.onmessage = answer => this.hear(answer.data);
        this.send = message => worker.postMessage(message);
        resolve();
      };
      worker.postMessage({wasm});
    });
  }

  hear(answer) {
    const resolve = this.waiting.get(answer.id);
    this.waiting.delete(answer.id);
    if (resolve) resolve(answer);
  }

  async ask(question, files) {
    await this.ready;
    const id = this.next++;
    return new Promise(resolve => {
      this.waiting.set(id, resolve);
      this.send({id, question, files});
    });
  }
}

// Keeps one question under way and the newest one waiting: what a slider passed on its way is not worked out.
class Newest {
  constructor(work) { this.work = work; this.busy = false; this.queued = false; }
  async wish() {
    this.queued = true;
    if (this.busy) return;
    this.busy = true;
    try {
      while (this.queued) { this.queued = false; await this.work(() => this.queued); }
    } finally { this.busy = false; }
  }
}
