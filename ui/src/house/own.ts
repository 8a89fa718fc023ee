// One's own state in the browser's store. Nothing takes its place in silence: what a changed link or another tab would
// displace is kept beside it, and offered back.
import { drawn, put, remember, remembered } from './drawer';
import { salvaged, sound } from './sound';
import { FIRST, store, type Former, type State } from './state.svelte';

const KEPT = 'huewright-state';
const BESIDE = 'huewright-former';
/** Changes with each writing: who knows another mark has not seen what stands in the store. */
const MARK = 'huewright-state-mark';
const MOST_BESIDE = 6;

const FULL = 'This browser does not keep what you do here (its store is full or switched off): after a reload it may be gone. Save your shop as a file, or remove something that is kept.';
const FULL_BESIDE = 'The store of this browser is full, so what you do here is not kept: it would take the place of your own shop from before. Save it as a file, or remove something that is kept.';
const HALF_READ = 'Not all of what this browser kept could be read; what could be stands here.';

/** The state of this tab that need not be written: it stands in the store, or nothing was changed yet. */
let settled: State | undefined;
let mark: string | null = null;
/** States that links brought, as long as nothing was changed in one. */
const links = new Set<State>();
let onLink = false;
let said = false;

function parsed(text: string | null): unknown {
  try {
    return JSON.parse(text ?? 'null');
  } catch {
    return undefined;
  }
}

function beside(): Former[] {
  const list = parsed(drawn(BESIDE));
  if (!Array.isArray(list)) return [];
  return (list as Partial<Former>[]).flatMap((former) => {
    const state = sound(former?.state);
    return state && (former.why === 'link' || former.why === 'tab' || former.why === 'anew') ? [{ why: former.why, state }] : [];
  });
}

function putBeside(list: Former[]): boolean {
  // Where there is little room, the oldest go.
  for (let some = list.slice(0, MOST_BESIDE); ; some = some.slice(0, -1)) {
    if (put(BESIDE, JSON.stringify(some))) {
      store.formers = some;
      return some.length > 0 || list.length === 0;
    }
    if (some.length === 0) return false;
  }
}

const same = (a: State, b: State) => JSON.stringify(a) === JSON.stringify(b);

/** Keeps a state beside; tells whether it is safe. Of other tabs' states only the newest stays: they take turns. */
export function setAside(why: Former['why'], state: State): boolean {
  if (same(state, FIRST)) return true;
  return putBeside([{ why, state }, ...beside().filter((f) => !same(f.state, state) && !(why === 'tab' && f.why === 'tab'))]);
}

export function letGo(former: Former) {
  putBeside(beside().filter((f) => !same(f.state, former.state)));
}

/** What was kept at the last visit, or the first state. */
export function own(): State {
  mark = drawn(MARK);
  store.formers = beside();
  const given = parsed(drawn(KEPT));
  const whole = sound(given);
  if (given !== null && !whole) store.tell(HALF_READ);
  settled = whole ?? salvaged(given) ?? FIRST;
  return settled;
}

/** Whether what stands in the store is what this tab wrote, or all that it ever saw. */
export function upToDate(): boolean {
  const last = remembered(MARK);
  return drawn(KEPT) !== null && (last === null || last === mark);
}

/** The state of this tab after a reload, where another one was written meanwhile: it is written once it is changed. */
export function goOn(state: State) {
  settled = state;
  mark = remembered(MARK);
}

/** A state that a link brought: it is not one's own until something in it is changed. */
export function lend(state: State) {
  links.add(state);
}
export const isLent = (state: State) => links.has(state);

/** Follows what is seen: changes of a link's state and of one's own are told apart by what they began from. */
export function track(state: State) {
  if (links.has(state)) onLink = true;
  else if (state === settled) onLink = false;
  store.borrowed = links.has(state) && settled !== undefined && !same(settled, FIRST);
}

/** Writes the state into the store, if it is one's own and new there. */
export function settle(state: State) {
  track(state);
  if (state === settled || links.has(state)) return;
  const text = JSON.stringify(state);
  const there = drawn(KEPT);
  if (there !== null && there !== text && (onLink || drawn(MARK) !== mark)) {
    const before = sound(parsed(there));
    if (before && !setAside(onLink ? 'link' : 'tab', before)) return unkept(FULL_BESIDE);
  }
  if (!put(KEPT, text)) return unkept(FULL);
  mark = `${Date.now().toString(36)} ${Math.random().toString(36).slice(2)}`;
  put(MARK, mark);
  remember(MARK, mark);
  settled = state;
  links.clear();
  onLink = false;
  if (store.formers.some((f) => same(f.state, state))) letGo({ why: 'link', state });
}

/** Said once; and a reload goes by the address. */
function unkept(words: string) {
  remember(MARK, '');
  if (!said) store.tell(words);
  said = true;
}

/** Another tab may keep something beside. */
export function watchStore() {
  window.addEventListener('storage', (event) => { if (event.key === BESIDE) store.formers = beside(); });
}
