// The state in the address: `#/page?s=...`, packed. A link shows what its sender saw, on any machine.
import { drawn, put } from './drawer';
import { keptFiles } from './tables';
import { FIRST, store, type PageName, type State } from './state.svelte';

const PAGES: PageName[] = ['shop', 'wanted', 'ways', 'turn', 'run', 'library'];
const KEPT = 'huewright-state';

async function through(bytes: Uint8Array<ArrayBuffer>, stream: CompressionStream | DecompressionStream): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
}

export async function pack(state: State): Promise<string> {
  const bytes = await through(new TextEncoder().encode(JSON.stringify(state)), new CompressionStream('deflate-raw'));
  return btoa(String.fromCharCode(...bytes)).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}

export async function unpack(text: string): Promise<State | undefined> {
  try {
    const letters = atob(text.replaceAll('-', '+').replaceAll('_', '/'));
    const bytes = await through(Uint8Array.from(letters, (c) => c.charCodeAt(0)), new DecompressionStream('deflate-raw'));
    return sound(JSON.parse(new TextDecoder().decode(bytes)));
  } catch {
    return undefined;
  }
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null && !Array.isArray(value);
const isWord = (value: unknown) => typeof value === 'string';
const isNumber = (value: unknown) => typeof value === 'number' && Number.isFinite(value);
/** A list of objects, each with this text; or no list. */
const rows = (value: unknown, word?: string) => value === undefined || (Array.isArray(value) && value.every((row) => isObject(row) && (word === undefined || isWord(row[word]))));
const films = (value: unknown) => rows(value) && ((value ?? []) as Record<string, unknown>[]).every((film) => isWord(film['material']) || isObject(film['material']));

/** What was done in a recipe: each row with the numbers that its record writes. */
const progress = (value: unknown) => isObject(value) && isNumber(value['step']) && rows(value['noted'], 'at') && Array.isArray(value['noted'])
  && (value['noted'] as Record<string, unknown>[]).every((n) => isNumber(n['step']) && typeof n['as_planned'] === 'boolean' && isWord(n['words']) && (n['seconds'] === null || isNumber(n['seconds']))
    && Array.isArray(n['set']) && rows(n['set'], 'key') && (n['set'] as Record<string, unknown>[]).every((s) => isNumber(s['value']) && isNumber(s['planned'])));

/** A state from outside, or nothing: a link may be cut off, or made by hand. The engine checks what the fields hold. */
export function sound(given: unknown): State | undefined {
  if (!isObject(given)) return undefined;
  const state = { ...FIRST, ...given };
  const { workshop: shop, finish, view, turn, part, wishes } = state as Record<string, unknown>;
  const coaters = (value: unknown) => rows(value, 'name') && ((value ?? []) as Record<string, unknown>[]).every((c) => Array.isArray(c['films']));
  const shopSound = isObject(shop) && Array.isArray(shop['metal']) && rows(shop['metal'], 'id') && (shop['metal'] as Record<string, unknown>[]).every((m) => films(m['film'])) && rows(shop['bath'], 'name') && rows(shop['anodiser'], 'name') && rows(shop['oven'], 'name') && coaters(shop['coater']);
  const base = isObject(finish) ? finish['base'] : undefined;
  const finishSound = isObject(finish) && isObject(base) && (isWord(base['material']) || isObject(base['material'])) && films(finish['film']) && films(finish['over']);
  const partSound = part === null || (isObject(part) && isWord(part['metal']) && (part['shape'] === undefined || isObject(part['shape'])) && (part['weighed'] === undefined || isObject(part['weighed'])));
  const wishesSound = Array.isArray(wishes) && wishes.every((w) => isObject(w) && isWord(w['colour']) && isNumber(w['at']));
  const viewSound = isObject(view) && isWord(view['light']) && isWord(view['observer']) && isNumber(view['tilt_deg']);
  const runSound = (state.recipe === null || isWord(state.recipe)) && progress(state.run);
  const numbers = [state.pick, state.from, state.to, state.chapter].every(isNumber);
  return shopSound && finishSound && partSound && wishesSound && viewSound && isObject(turn) && isWord(turn['setting']) && runSound && numbers ? state : undefined;
}

function parse(hash: string): { page: PageName | undefined; packed: string | undefined } {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  return { page: PAGES.find((p) => p === path), packed: new URLSearchParams(query).get('s') ?? undefined };
}

function last(): State | undefined {
  try {
    return sound(JSON.parse(drawn(KEPT) ?? 'null'));
  } catch {
    return undefined;
  }
}

/** Takes up what a link brings; one's own state stays a step of undo away. */
async function take(packed: string | undefined) {
  if (!packed) return;
  const state = await unpack(packed);
  if (!state) store.told = 'This link is cut off or broken, so what it showed cannot be seen; here is what you had before. Ask for the link again.';
  else if (JSON.stringify(state) !== JSON.stringify(store.now)) store.change(`link ${performance.now()}`, state);
}

/** Takes page and state from the address, else from the last visit. */
export async function arrive() {
  const { page, packed } = parse(location.hash);
  store.files = keptFiles();
  store.arrive(page ?? 'shop', last() ?? FIRST);
  await take(packed);
}

let timer: ReturnType<typeof setTimeout> | undefined;

/** Writes the state into the address and the browser's store, a moment after the last change. */
export function depart(page: PageName, state: State) {
  clearTimeout(timer);
  timer = setTimeout(() => {
    put(KEPT, JSON.stringify(state));
    void pack(state).then((packed) => {
      if (page === store.page && state === store.now) history.replaceState(OWN, '', `#/${page}?s=${packed}`);
    });
  }, 250);
}

/** The last change is kept, even when the page is closed at once. */
export function close() {
  put(KEPT, JSON.stringify(store.now));
}

/** Marks entries of the history that this page wrote: back and forward lead to pages, and never take work back. */
const OWN = { huewright: true };

/** Goes to a page; the browser's back leads here again. */
export function go(page: PageName) {
  if (page === store.page) return;
  history.pushState(OWN, '', `#/${page}`);
  store.page = page;
  scrollTo(0, 0);
}

/** The browser went back or forward, or a link was pasted. */
export async function follow() {
  const { page, packed } = parse(location.hash);
  if (page) store.page = page;
  const own: unknown = history.state;
  if (!isObject(own) || own['huewright'] !== true) await take(packed);
  else depart(store.page, store.now);
}
