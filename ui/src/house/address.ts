// The state in the address: `#/page?s=...`, packed. A link shows what its sender saw, on any machine.
import { remember, remembered } from './drawer';
import { goOn, isLent, lend, own, settle, track, watchStore, upToDate } from './own';
import { pack, Unfit, unpack } from './packing';
import { isObject } from './sound';
import { keptFiles } from './tables';
import { FIRST, store, type PageName, type State } from './state.svelte';

/** Whether this tab shows what a link brought. */
const SHOWN = 'huewright-shown';
const PAGES: PageName[] = ['shop', 'wanted', 'ways', 'turn', 'run', 'chamber', 'library'];

function parse(hash: string): { page: PageName | undefined; packed: string | undefined } {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  return { page: PAGES.find((p) => p === path), packed: new URLSearchParams(query).get('s') ?? undefined };
}

/** The state of a link; where there is none, a word about it. */
async function opened(packed: string): Promise<State | undefined> {
  try {
    return await unpack(packed);
  } catch (error) {
    store.tell(error instanceof Unfit ? error.message : String(error));
    return undefined;
  }
}

/** Takes up what a link brings; one's own state stays kept, and a step of undo away. */
async function take(packed: string | undefined) {
  if (!packed) return;
  const state = await opened(packed);
  if (!state || JSON.stringify(state) === JSON.stringify(store.now)) return;
  settle(store.now);
  lend(store.change(`link ${performance.now()}`, state));
}

/** Takes page and state from the address, else from the last visit. */
export async function arrive() {
  const { page, packed } = parse(location.hash);
  store.files = keptFiles();
  watchStore();
  const kept = own();
  store.arrive(page ?? 'shop', kept);
  const entry = reloaded();
  if (!entry || entry.link) return take(packed);
  // A reload. Where another tab has written since, or nothing could be written, this one goes on with what it showed.
  if (!packed || upToDate()) return;
  const state = await opened(packed);
  if (!state || JSON.stringify(state) === JSON.stringify(kept)) return;
  goOn(state);
  store.arrive(page ?? 'shop', state);
}

let timer: ReturnType<typeof setTimeout> | undefined;
let said = false;

/** Writes the state into the address and the browser's store, a moment after the last change. */
export function depart(page: PageName, state: State) {
  track(state);
  remember(SHOWN, isLent(state) ? 'link' : 'own');
  clearTimeout(timer);
  timer = setTimeout(() => {
    settle(state);
    void address(page, state).then((hash) => {
      if (page === store.page && state === store.now) history.replaceState({ ...OWN, link: isLent(state) }, '', hash);
    });
  }, 250);
}

async function address(page: PageName, state: State): Promise<string> {
  try {
    return `#/${page}?s=${await pack(state)}`;
  } catch (error) {
    // Nobody needs to hear of it who has done nothing yet.
    if (!said && JSON.stringify(state) !== JSON.stringify(FIRST)) {
      store.tell(error instanceof Unfit ? error.message : String(error));
      said = true;
    }
    return `#/${page}`;
  }
}

/** The last change is kept, even when the page is closed at once. */
export function close() {
  settle(store.now);
}

/** Marks entries of the history that this page wrote: back and forward lead to pages, and never take work back. */
const OWN = { huewright: true };

/** The entry of the history, if this page wrote it; `link` where it shows what a link brought. */
function written(): { link: boolean } | undefined {
  const entry: unknown = history.state;
  return isObject(entry) && entry['huewright'] === true ? { link: entry['link'] === true } : undefined;
}

/** The same for an address that is opened: a browser that reloads soon after a change may have lost the entry's mark. */
function reloaded(): { link: boolean } | undefined {
  const shown = remembered(SHOWN);
  const [opening] = performance.getEntriesByType('navigation') as PerformanceNavigationTiming[];
  return written() ?? (shown !== null && opening?.type === 'reload' ? { link: shown === 'link' } : undefined);
}

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
  if (!written()) await take(packed);
  else depart(store.page, store.now);
}
