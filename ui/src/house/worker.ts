// The engine in a worker: one question at a time, in the order in which they come.

export type Asked = { id: number; question: string; request: string };
export type Told =
  | { id: number; answer: string }
  | { id: number; refusal: string; dead: boolean }
  | { id: number; done: number; of: number }
  | { ready: WebAssembly.Module }
  | { broken: string; says: string };

/** What the JavaScript beside a module gives; it is of one shape for both modules. */
interface Engine { ask(question: string, request: string, progress: { tell(done: number, of: number): void }): string }
type Init = (given: { module_or_path: WebAssembly.Module }) => Promise<unknown>;

let engine: Engine | undefined;
const tell = (told: Told) => postMessage(told);

/** Words for a person, and what the browser says. */
class Broken extends Error {
  constructor(message: string, readonly says: string) {
    super(message);
  }
}
const MISSING = 'The engine, which works out all colours, could not be fetched';
const HALF = 'The engine, which works out all colours, did not arrive whole, or is not for this browser';
const wordsOf = (error: unknown) => (error instanceof Error ? `${error.name}: ${error.message}` : String(error));

async function open(given: WebAssembly.Module | string, init: Init, make: new () => Engine) {
  try {
    const module = typeof given === 'string' ? await compile(given) : given;
    await init({ module_or_path: module });
    engine = new make();
    tell({ ready: module });
  } catch (error) {
    tell(error instanceof Broken ? { broken: error.message, says: error.says } : { broken: HALF, says: wordsOf(error) });
  }
}

async function compile(address: string): Promise<WebAssembly.Module> {
  let response: Response;
  try {
    response = await fetch(address);
  } catch (error) {
    throw new Broken(MISSING, wordsOf(error));
  }
  if (!response.ok) throw new Broken(MISSING, `${address.split('/').at(-1)}, status ${response.status}`);
  // Some hosts do not know the type of a module; then it is compiled from its bytes.
  if (response.headers.get('content-type')?.startsWith('application/wasm')) return WebAssembly.compileStreaming(response);
  return WebAssembly.compile(await response.arrayBuffer());
}

export function serve(init: Init, make: new () => Engine) {
  addEventListener('message', (event: MessageEvent<Asked | { open: WebAssembly.Module | string }>) => {
    const message = event.data;
    if ('open' in message) void open(message.open, init, make);
    else answer(message);
  });
}

function answer({ id, question, request }: Asked) {
  try {
    if (!engine) throw new Error('the engine is not open');
    const answer = engine.ask(question, request, { tell: (done: number, of: number) => tell({ id, done, of }) });
    tell({ id, answer });
  } catch (refusal) {
    // Anything but a refusal in words is a trap: this instance must not be asked again.
    const dead = typeof refusal !== 'string';
    const text = dead ? JSON.stringify({ error: `the engine failed and was started anew (${String(refusal)}); what you did last was too much for it`, field: '', line: null }) : refusal;
    tell({ id, refusal: text, dead });
  }
}
