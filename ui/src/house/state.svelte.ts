// The one state of the page, with undo. It lives in the address and in the browser's own store.
import type { Finish, Quantity, Shelf, Workshop } from './answers';

export type PageName = 'shop' | 'wanted' | 'ways' | 'turn' | 'run' | 'chamber' | 'library';

export interface View { light: string; observer: string; tilt_deg: number }

/** A colour that is wanted, at a place along the part (0 one end, 100 the other). */
export interface Wish { at: number; colour: string }

/** A part with the keys of its file (docs/files.md). */
export interface Part {
  schema?: number;
  name?: string;
  metal: string;
  texture?: string;
  count?: number;
  use?: string[];
  shape?: { kind: string } & Record<string, Quantity>;
  weighed?: Record<string, Quantity>;
}

/** What is turned on the page Turn it. */
export type Turn =
  | { setting: 'thickness_nm'; film: number }
  | { setting: 'voltage_v'; electrolyte?: string }
  | { setting: 'temperature_c'; minutes: number }
  | { setting: 'minutes'; temperature_c: number };

/** What was really done in a step. */
export interface Noted {
  step: number;
  /** Local time of day, as text: 2025-03-09T14:05:31. */
  at: string;
  as_planned: boolean;
  set: { key: string; value: number; planned: number }[];
  /** By the timer, where it ran, or as written. */
  seconds: number | null;
  words: string;
}

/** Where a person stands in the recipe: 0 before it, then each step, at last one more than there are steps. */
export interface Progress { step: number; noted: Noted[] }

export interface State {
  workshop: Workshop;
  part: Part | null;
  wishes: Wish[];
  /** Which wish the ways are for. */
  pick: number;
  view: View;
  finish: Finish;
  turn: Turn;
  from: number;
  to: number;
  /** How much of the story has been opened: 1 the slider alone, 5 everything. */
  chapter: number;
  /** The recipe that is run, TOML. */
  recipe: string | null;
  run: Progress;
  /** Which step of the recipe the page Chamber looks into; 0: the last that lays a film. */
  chamber: number;
  /** The log of a coater's loads, TOML. */
  loads: string | null;
}

/** No recipe is longer, in letters: its text travels in the address. */
export const LONGEST_RECIPE = 60_000;
/** The same for a log of loads. */
export const LONGEST_LOADS = 160_000;

/** A state that another one has taken the place of. */
export interface Former {
  /** A link that was changed, another tab, or a person who began anew. */
  why: 'link' | 'tab' | 'anew';
  state: State;
}

/** A titanium coupon with a clear oxide: where the story begins. */
export const COUPON: Finish = {
  name: 'a titanium coupon',
  base: { material: 'titanium', texture: 'mirror' },
  film: [{ material: 'titania-anodic', thickness_nm: 48 }],
};

export const FIRST: State = {
  workshop: { metal: [] },
  part: null,
  wishes: [],
  pick: 0,
  view: { light: 'D65', observer: '2', tilt_deg: 0 },
  finish: COUPON,
  turn: { setting: 'thickness_nm', film: 0 },
  from: 0,
  to: 250,
  chapter: 1,
  recipe: null,
  run: { step: 0, noted: [] },
  chamber: 0,
  loads: null,
};

/** Changes that come within this time and of one kind are undone together: a drag is one change. */
const TOGETHER_MS = 700;
const MOST_UNDOS = 100;

class Store {
  now: State = $state.raw(FIRST);
  page: PageName = $state('shop');
  shelf: Shelf | undefined = $state.raw(undefined);
  /** Why the engine does not answer at all. */
  broken: string | undefined = $state(undefined);
  /** Text of dropped tables, by name. */
  files: Record<string, string> = $state.raw({});
  /** What a person should know of the page itself: a broken link, a table that was not kept. */
  told = $state('');
  /** What is seen came with a link, and one's own state waits. */
  borrowed = $state(false);
  /** What was kept beside, the newest first. */
  formers: Former[] = $state.raw([]);
  /** Counts what was kept, so that lists of it are fetched anew. */
  kept = $state(0);
  canUndo = $state(false);
  canRedo = $state(false);
  private past: State[] = [];
  private future: State[] = [];
  private last = { kind: '', at: 0 };

  /** Changes the state, and gives the new one. `kind` names what is being changed; a drag changes one kind many times. */
  change(kind: string, next: Partial<State>): State {
    const at = performance.now();
    if (kind !== this.last.kind || at - this.last.at > TOGETHER_MS) {
      this.past.push(this.now);
      if (this.past.length > MOST_UNDOS) this.past.shift();
    }
    this.last = { kind, at };
    this.future = [];
    this.now = { ...this.now, ...next };
    this.mark();
    return this.now;
  }

  undo() {
    const before = this.past.pop();
    if (!before) return;
    this.future.push(this.now);
    this.now = before;
    this.last = { kind: '', at: 0 };
    this.mark();
  }

  redo() {
    const after = this.future.pop();
    if (!after) return;
    this.past.push(this.now);
    this.now = after;
    this.last = { kind: '', at: 0 };
    this.mark();
  }

  /** Says something about the page itself, beside what was said before and is not yet understood. */
  tell(words: string) {
    if (!this.told.includes(words)) this.told = `${this.told} ${words}`.trim();
  }

  /** The state that an address brings: not a change that could be undone. */
  arrive(page: PageName, state: State) {
    this.page = page;
    this.now = state;
  }

  private mark() {
    this.canUndo = this.past.length > 0;
    this.canRedo = this.future.length > 0;
  }
}

export const store = new Store();
