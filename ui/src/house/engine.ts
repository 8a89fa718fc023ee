// Questions to the engine. Of its two modules the small one comes with the page, and answers what first.json lists; the full
// one comes when something else is asked, or a page is opened that will ask it. Two workers each: one answers while a finger
// moves, one draws strips beside it; one answers short questions of the full module, one works through long ones.
import firstAddress from '../../engine/first_bg.wasm?url';
import fullAddress from '../../engine/full_bg.wasm?url';
import { Fetched } from './fetched';
import FIRST from './first.json';
import FirstWorker from './first.worker?worker';
import FullWorker from './full.worker?worker';
import { Line } from './line';

export { Overtaken, Refusal } from './line';

const at = (address: string) => new Fetched(new URL(address, document.baseURI).href);
const [first, full] = [at(firstAddress), at(fullAddress)];
const quick = new Line(() => new FirstWorker(), first);
const strips = new Line(() => new FirstWorker(), first);
const short = new Line(() => new FullWorker(), full);
const patient = new Line(() => new FullWorker(), full);
const lines = [quick, strips, short, patient];
const isFirst = new Set(FIRST);
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
    const [line, busy, mayWait] = isFirst.has(question) ? [quick, strips, how.strip] : [short, patient, how.long];
    (mayWait ? busy : line).ask({
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

/** Fetches and compiles the first module, before anything is asked. */
export function open() {
  quick.start();
}

/** The same for the full one: for a page that will ask for more. */
export function openFull() {
  patient.start();
}
