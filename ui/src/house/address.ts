// The state in the address: `#/page?s=...`, packed. A link shows what its sender saw, on any machine.
import { keptFiles } from './tables';
import { FIRST, store, type PageName, type State } from './state.svelte';

const PAGES: PageName[] = ['shop', 'wanted', 'ways', 'turn', 'library'];
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

/** A state from outside, or nothing: a link may be cut off, or made by hand. The engine checks what the fields hold. */
export function sound(given: unknown): State | undefined {
  if (typeof given !== 'object' || given === null) return undefined;
  const state = { ...FIRST, ...given } as State;
  const listed = (value: unknown) => value === undefined || Array.isArray(value);
  const shop = state.workshop;
  const shopSound = typeof shop === 'object' && shop !== null && Array.isArray(shop.metal) && listed(shop.bath) && listed(shop.anodiser) && listed(shop.oven) && listed(shop.coater);
  const finishSound = typeof state.finish?.base === 'object' && state.finish.base !== null && listed(state.finish.film) && listed(state.finish.over);
  const wishesSound = Array.isArray(state.wishes) && state.wishes.every((w) => typeof w?.colour === 'string' && typeof w.at === 'number');
  const turnSound = typeof state.turn?.setting === 'string';
  const numbers = [state.pick, state.from, state.to, state.chapter, state.view?.tilt_deg].every((n) => typeof n === 'number' && Number.isFinite(n));
  const words = [state.view?.light, state.view?.observer].every((w) => typeof w === 'string');
  return shopSound && finishSound && wishesSound && turnSound && numbers && words ? state : undefined;
}

function parse(hash: string): { page: PageName | undefined; packed: string | undefined } {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  return { page: PAGES.find((p) => p === path), packed: new URLSearchParams(query).get('s') ?? undefined };
}

function last(): State | undefined {
  try {
    return sound(JSON.parse(localStorage.getItem(KEPT) ?? 'null'));
  } catch {
    return undefined;
  }
}

/** Takes page and state from the address, else from the last visit. */
export async function arrive() {
  const { page, packed } = parse(location.hash);
  const state = (packed ? await unpack(packed) : undefined) ?? last() ?? FIRST;
  store.files = keptFiles();
  store.arrive(page ?? 'shop', state);
}

let timer: ReturnType<typeof setTimeout> | undefined;
let written = '';

/** Writes the state into the address and the browser's store, a moment after the last change. */
export function depart(page: PageName, state: State) {
  clearTimeout(timer);
  timer = setTimeout(() => {
    void pack(state).then((packed) => {
      const hash = `#/${page}?s=${packed}`;
      if (hash === written || page !== store.page) return;
      written = hash;
      history.replaceState(null, '', hash);
      try {
        localStorage.setItem(KEPT, JSON.stringify(state));
      } catch {
        // A full or forbidden store loses nothing: the address holds the same.
      }
    });
  }, 250);
}

/** Goes to a page; the browser's back leads here again. */
export function go(page: PageName) {
  if (page === store.page) return;
  history.pushState(null, '', `#/${page}`);
  store.page = page;
  scrollTo(0, 0);
}

/** The browser went back or forward, or a link was pasted. */
export async function follow() {
  const { page, packed } = parse(location.hash);
  if (`#/${page ?? ''}?s=${packed ?? ''}` === written) return;
  const state = packed ? await unpack(packed) : undefined;
  store.arrive(page ?? 'shop', state ?? store.now);
}
