// Questions to the engine. Three workers: one answers while a finger moves, one draws strips beside it, one works through
// long questions.
import address from '../../engine/huewright_wasm_bg.wasm?url';
import type { Asked, Told } from './worker';
import EngineWorker from './worker?worker';

/** Why a question was not answered: for a person, and the field to show it beside. */
export class Refusal extends Error {
  constructor(
    message: string,
    readonly field: string,
    readonly line: number | null,
  ) {
    super(message);
  }
}

/** A newer question of the same kind took this one's place. */
export class Overtaken extends Error {}

type Wish = {
  asked: Asked;
  settle: (text: string) => void;
  refuse: (error: Error) => void;
  progress: ((done: number, of: number) => void) | undefined;
  kind: string | undefined;
};

class Line {
  private worker: Worker | undefined;
  private ready = false;
  private running: Wish | undefined;
  private waiting: Wish[] = [];
  private broken: string | undefined;

  constructor(private readonly source: () => Promise<WebAssembly.Module | string>, private readonly onReady: (module: WebAssembly.Module) => void) {}

  start() {
    if (this.worker) return;
    const worker = new EngineWorker();
    this.worker = worker;
    worker.addEventListener('message', (event: MessageEvent<Told>) => { if (this.worker === worker) this.hear(event.data); });
    worker.addEventListener('error', (event) => { if (this.worker === worker) this.fail(event.message || 'the engine could not be started'); });
    void this.source().then((given) => worker.postMessage({ open: given }));
  }

  ask(wish: Wish) {
    this.start();
    if (this.broken) return wish.refuse(new Refusal(this.broken, '', null));
    if (wish.kind) {
      const old = this.waiting.findIndex((w) => w.kind === wish.kind);
      if (old >= 0) this.waiting.splice(old, 1)[0]?.refuse(new Overtaken());
    }
    this.waiting.push(wish);
    this.next();
  }

  /** Stops what runs: the worker is ended and a new one opened, which costs some milliseconds. */
  stop(kind: string) {
    const left = this.waiting.filter((w) => w.kind === kind);
    this.waiting = this.waiting.filter((w) => w.kind !== kind);
    left.forEach((w) => w.refuse(new Overtaken()));
    if (this.running?.kind !== kind) return;
    const stopped = this.running;
    this.running = undefined;
    stopped.refuse(new Overtaken());
    this.restart();
  }

  private restart() {
    this.worker?.terminate();
    this.worker = undefined;
    this.ready = false;
    if (this.waiting.length > 0) this.start();
  }

  private next() {
    if (!this.ready || this.running) return;
    const wish = this.waiting.shift();
    if (!wish) return;
    this.running = wish;
    this.worker?.postMessage(wish.asked);
  }

  private hear(told: Told) {
    if ('ready' in told) {
      this.ready = true;
      this.onReady(told.ready);
    } else if ('broken' in told) {
      this.fail(told.broken);
    } else if ('done' in told) {
      this.running?.progress?.(told.done, told.of);
      return;
    } else if (this.running?.asked.id === told.id) {
      const wish = this.running;
      this.running = undefined;
      if ('answer' in told) wish.settle(told.answer);
      else {
        const refusal = JSON.parse(told.refusal) as { error: string; field: string; line: number | null };
        wish.refuse(new Refusal(refusal.error, refusal.field, refusal.line));
        if (told.dead) this.restart();
      }
    }
    this.next();
  }

  private fail(message: string) {
    this.broken = `${message}. Reload the page; if that does not help, the server has stopped, or the browser is too old.`;
    const all = [this.running, ...this.waiting].filter((w) => w !== undefined);
    this.running = undefined;
    this.waiting = [];
    all.forEach((w) => w.refuse(new Refusal(this.broken ?? message, '', null)));
  }
}

let compiled: (module: WebAssembly.Module) => void;
const module = new Promise<WebAssembly.Module>((resolve) => (compiled = resolve));
const quick = new Line(() => Promise.resolve(new URL(address, document.baseURI).href), (m) => compiled(m));
const strips = new Line(() => module, () => undefined);
const patient = new Line(() => module, () => undefined);
let count = 0;

interface How {
  /** Of several waiting questions of one kind only the newest is asked. */
  kind?: string;
  /** A question that takes some frames: strips of colours. */
  strip?: boolean;
  /** A question that takes seconds, and can be stopped. */
  long?: boolean;
  progress?: (done: number, of: number) => void;
}

/** Asks the engine. Rejects with a Refusal (bad input) or Overtaken. */
export function ask<Answer>(question: string, request: unknown, how: How = {}): Promise<Answer> {
  return new Promise((settle, refuse) => {
    count += 1;
    (how.long ? patient : how.strip ? strips : quick).ask({
      asked: { id: count, question, request: JSON.stringify(request) },
      settle: (text) => settle(JSON.parse(text) as Answer),
      refuse,
      progress: how.progress,
      kind: how.kind,
    });
  });
}

/** Stops a long question of this kind. */
export function stop(kind: string) {
  patient.stop(kind);
}

/** Fetches and compiles the engine, before anything is asked. */
export function open() {
  quick.start();
}
