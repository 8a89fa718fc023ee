// Questions to the engine. Three workers: one answers while a finger moves, one draws strips beside it, one works through
// long questions.
import address from '../../engine/huewright_wasm_bg.wasm?url';
import { Line } from './line';
import EngineWorker from './worker?worker';

export { Overtaken, Refusal } from './line';

let compiled: (module: WebAssembly.Module) => void;
const module = new Promise<WebAssembly.Module>((resolve) => (compiled = resolve));
const hire = () => new EngineWorker();
const quick = new Line(hire, () => Promise.resolve(new URL(address, document.baseURI).href), (m) => compiled(m));
const strips = new Line(hire, () => module);
const patient = new Line(hire, () => module);
const lines = [quick, strips, patient];
let count = 0;

interface How {
  /** Of several waiting questions of one kind only the newest is asked; one that runs long and is overtaken is ended. */
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

/** Stops questions of this kind. */
export function stop(kind: string) {
  lines.forEach((line) => line.stop(kind));
}

/** Nobody waits for questions of this kind any more: they are ended once they run long. */
export function leave(kind: string) {
  lines.forEach((line) => line.leave(kind));
}

/** Fetches and compiles the engine, before anything is asked. */
export function open() {
  quick.start();
}
