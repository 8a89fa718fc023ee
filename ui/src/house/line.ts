// A line of questions before one worker: one at a time, in their order, of one kind only the newest.
import type { Asked, Told } from './worker';

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

/** A question that nobody waits for any more may take this long, milliseconds; then its worker is ended. */
export const PATIENCE_MS = 1500;

export type Wish = {
  asked: Asked;
  settle: (text: string) => void;
  refuse: (error: Error) => void;
  progress: ((done: number, of: number) => void) | undefined;
  kind: string | undefined;
};

/** Where the workers' module comes from. */
export interface Source {
  give(): Promise<WebAssembly.Module | string>;
  got(module: WebAssembly.Module): void;
  lost(): void;
}

/** What a line needs of a worker. */
export type Hand = Pick<Worker, 'postMessage' | 'terminate' | 'addEventListener'>;

export class Line {
  private worker: Hand | undefined;
  private module: WebAssembly.Module | undefined;
  private ready = false;
  private running: Wish | undefined;
  private since = 0;
  private check: ReturnType<typeof setTimeout> | undefined;
  /** Nobody waits for what runs. */
  private unwanted = false;
  private waiting: Wish[] = [];
  private broken: string | undefined;

  constructor(
    private readonly hire: () => Hand,
    private readonly source: Source,
  ) {}

  start() {
    if (this.worker) return;
    const worker = this.hire();
    this.worker = worker;
    worker.addEventListener('message', (event: Event) => { if (this.worker === worker) this.hear((event as MessageEvent<Told>).data); });
    worker.addEventListener('error', (event: Event) => { if (this.worker === worker) this.fail('The engine could not be started', (event as ErrorEvent).message); });
    // Fetched and compiled once: a worker that is opened anew has it at hand.
    if (this.module) worker.postMessage({ open: this.module });
    else void this.source.give().then((given) => worker.postMessage({ open: given }));
  }

  ask(wish: Wish) {
    this.start();
    if (this.broken) return wish.refuse(new Refusal(this.broken, '', null));
    if (wish.kind) this.forget(wish.kind);
    this.waiting.push(wish);
    if (wish.kind && this.running?.kind === wish.kind) this.giveUp();
    this.next();
  }

  /** Stops what runs: the worker is ended and a new one opened, which costs some milliseconds. */
  stop(kind: string) {
    this.forget(kind);
    if (this.running?.kind === kind) this.end();
  }

  /** Nobody waits for these any more: what waits is not asked, what runs may end soon by itself. */
  leave(kind: string) {
    this.forget(kind);
    if (this.running?.kind === kind) this.giveUp();
  }

  private forget(kind: string) {
    const left = this.waiting.filter((w) => w.kind === kind);
    this.waiting = this.waiting.filter((w) => w.kind !== kind);
    left.forEach((w) => w.refuse(new Overtaken()));
  }

  private giveUp() {
    if (this.unwanted) return;
    this.unwanted = true;
    const left = this.since + PATIENCE_MS - performance.now();
    if (left <= 0) this.end();
    else this.check = setTimeout(() => this.end(), left);
  }

  private end() {
    const stopped = this.over();
    stopped?.refuse(new Overtaken());
    this.restart();
  }

  /** What ran runs no more. */
  private over(): Wish | undefined {
    const wish = this.running;
    this.running = undefined;
    this.unwanted = false;
    clearTimeout(this.check);
    return wish;
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
    this.since = performance.now();
    this.worker?.postMessage(wish.asked);
  }

  private hear(told: Told) {
    if ('ready' in told) {
      this.ready = true;
      this.module = told.ready;
      this.source.got(told.ready);
    } else if ('broken' in told) {
      this.fail(told.broken, told.says);
    } else if ('done' in told) {
      if (this.running?.asked.id === told.id) this.running.progress?.(told.done, told.of);
      return;
    } else if (this.running?.asked.id === told.id) {
      const wish = this.over();
      if ('answer' in told) wish?.settle(told.answer);
      else {
        const refusal = JSON.parse(told.refusal) as { error: string; field: string; line: number | null };
        wish?.refuse(new Refusal(refusal.error, refusal.field, refusal.line));
        if (told.dead) this.restart();
      }
    }
    this.next();
  }

  /** Plain words first, what the browser says after them. */
  private fail(words: string, says: string) {
    this.source.lost();
    this.broken = `${words}. Reload the page; if that does not help, the server has stopped, or the browser is too old.${says ? ` (The browser says: ${says})` : ''}`;
    const all = [this.over(), ...this.waiting].filter((w) => w !== undefined);
    this.waiting = [];
    all.forEach((w) => w.refuse(new Refusal(this.broken ?? words, '', null)));
  }
}
