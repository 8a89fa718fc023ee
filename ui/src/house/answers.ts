// The shapes of the engine's answers (docs/json.md). Names are those of the contract.
import type { Chamber, Limits } from './chamber';

export type Triple = [number, number, number];

/** A colour made ready for screens. */
export interface Shown {
  srgb: string;
  srgb_out_of_gamut: boolean;
  display_p3: Triple;
  display_p3_out_of_gamut: boolean;
  name: string;
}

export interface Source { what: string; which: string; citation: string; status: string; caveats: string[] }
export interface Caution { id: string; text: string; source: string }

export interface Look extends Shown {
  lab: Triple;
  xyz: Triple;
  order: number;
  spectrum: { wavelength_nm: number[]; reflectance: number[] };
  notes: string[];
  why?: Source[];
  svg?: string;
  /** The finish in numbers. */
  films: { thickness_nm: number; spread: number }[];
  over: { thickness_um: number }[];
}

export interface Point extends Shown { value: number; thickness_nm: number; lab: Triple }
export interface Band { from: number; to: number; name: string }
export interface RibbonRow { tilt_deg: number; points: Point[]; bands: Band[] }
export interface Ribbon {
  setting: string;
  unit: string;
  title: string;
  rows: RibbonRow[];
  notes: string[];
  cautions: Caution[];
  at?: number;
  svg?: string;
  csv?: string;
}

export interface Wanted extends Shown {
  lab: Triple;
  given: string;
  how: string;
  unsure_delta_e: number | null;
  unsure: string;
  notes: string[];
}

export interface Step {
  route: string;
  machine: string;
  film?: string;
  film_words?: string;
  bath?: string;
  electrolyte?: string;
  settings: Record<string, number>;
}
export interface Window { step: number; setting: string; low: number; high: number; delta_e_limit: number; words: string }
/** What a part needs before its first route. */
export interface Advised { preparation: string; words: string; with: string | null; means: string | null; does: string[]; forbids: string[]; risk: string | null; source: string }

export interface Way {
  feasible: boolean;
  title: string;
  set: string;
  why_not: string[];
  start: Finish;
  preparation: Advised[];
  steps: Step[];
  finish: Finish | null;
  lab: Triple | null;
  srgb: string | null;
  srgb_out_of_gamut: boolean;
  display_p3: Triple | null;
  display_p3_out_of_gamut: boolean;
  name: string | null;
  delta_e: number | null;
  expected_delta_e: number | null;
  chance: number | null;
  chance_alike: number | null;
  chance_of_name: number | null;
  windows: Window[];
  drift: (Shown & { tilt_deg: number; lab: Triple; delta_e: number })[];
  angle: { tilt_deg: number[]; lab: Triple[]; srgb: string[]; hue_deg: number | null; delta_e: number; words: string } | null;
  may_also_be: { name: string; share: number }[];
  other_orders: { set: string; delta_e: number | null; chance: number; chance_alike: number }[];
  notes: string[];
  stand_ins: string[];
  cautions: Caution[];
  recipe: string | null;
}
export interface Match {
  target: Shown & { lab: Triple; given: string };
  ways: Way[];
  notes: string[];
  why?: Source[];
  svg?: string;
}

export interface MaterialRow extends Shown {
  id: string;
  words: string;
  roles: string[];
  shown: string;
  lab: Triple;
  spread_between_tables: number | null;
  family: string | null;
  stand_in: boolean;
  sources: Source[];
  swatches: string[];
  by_source: Shown[];
}

export interface Limit { key: string; unit: string; words: string; min: number; max: number; why: string }
export interface Material {
  id: string;
  words: string;
  roles: string[];
  metal: boolean;
  anodise: { film: string; low_v: number; high_v: number } | null;
  heat: { film: string; low_c: number; high_c: number; low_minutes: number; high_minutes: number } | null;
  family: { words: string; low: number; high: number; default: number | null } | null;
  sources: string[];
}
/** What there is to choose from; asked once. */
export interface Shelf {
  version: string;
  lights: { word: string; words: string; source: string }[];
  observers: { word: string; words: string }[];
  textures: string[];
  names: (Shown & { lab: Triple; reason: string })[];
  materials: Material[];
  electrolytes: { id: string; words: string; unfit: string | null; breakdown_v: number | null }[];
  limits: Limit[];
  /** Ready-made workshops, TOML. */
  benches: { id: string; words: string; text: string }[];
  /** Files of the invented bell workshop, TOML. */
  examples: { name: string; text: string }[];
}

/** A quantity as files carry it: a number in the key's unit, or text with a unit. */
export type Quantity = number | string;

export type MaterialRef = string | { n: Quantity; k?: Quantity } | { table: string };
export interface Film {
  material: MaterialRef;
  source?: string;
  thickness_nm: Quantity;
  spread?: Quantity;
  porosity?: Quantity;
  composition?: Quantity;
}
/** A finish with the keys of its file (docs/files.md). */
export interface Finish {
  schema?: number;
  name?: string;
  medium?: 'air' | 'water';
  base: { material: MaterialRef; source?: string; texture?: string; roughness_nm?: Quantity; slope_deg?: Quantity };
  film?: Film[];
  over?: { material: MaterialRef; thickness_um: Quantity }[];
}

/** A workshop with the keys of its file (docs/files.md). */
export interface Workshop {
  schema?: number;
  name?: string;
  metal: { id: string; source?: string; texture?: string; roughness_nm?: Quantity; slope_deg?: Quantity; film?: Film[] }[];
  bath?: { name: string; electrolyte: string; percent?: Quantity; temperature_c?: Quantity }[];
  anodiser?: {
    name: string;
    kind: 'regulated' | 'batteries' | 'rectified';
    isolated?: boolean;
    max_voltage_v: Quantity;
    max_current_a?: Quantity;
    repeatability_v?: Quantity;
    gap_mm?: Quantity;
    spread?: Quantity;
  }[];
  oven?: { name: string; max_temperature_c: Quantity; repeatability_c?: Quantity; spread?: Quantity }[];
  coater?: {
    name: string;
    kind: 'arc' | 'sputter';
    films: (string | { material: string; composition?: Quantity })[];
    thinnest_nm: Quantity;
    thickest_nm?: Quantity;
    repeatability?: Quantity;
    repeatability_composition?: Quantity;
    rate_nm_per_min?: Quantity;
    part_temperature_c?: Quantity;
    spread?: Quantity;
    shutter_s?: Quantity;
    pressure_pa?: Quantity;
    load?: CoaterLoad;
    target?: CoaterTarget[];
    /** The shop's readings of its reactive gas: kept as they are in the file. */
    gas?: unknown[];
  }[];
}
/** How parts stand and turn in a coater. */
export interface CoaterLoad {
  rotation: number;
  rpm?: Quantity;
  table_radius_mm?: Quantity;
  satellites?: Quantity;
  satellite_radius_mm?: Quantity;
  satellite_ratio?: Quantity;
  pin_ratio?: Quantity;
  inner_mm?: Quantity;
  height_mm?: Quantity;
}
export interface CoaterTarget {
  bearing_deg?: Quantity;
  axis_mm?: Quantity;
  track_height_mm?: Quantity;
  track_width_mm?: Quantity;
  emission?: Quantity;
  centre_mm?: Quantity;
  groove_mm?: Quantity;
}

/** A median and the span that holds 90 of 100 runs. */
export interface Band90 { median: number; low: number; high: number }
/** A colour that a step passes while it grows. */
export interface Passed { name: string; from_s: number; to_s: number; srgb: string }
/** Columns against time; what does not apply is left out. */
export interface Trace {
  time_s: number[];
  voltage_v?: number[];
  current_a?: number[];
  charge_c?: number[];
  temperature_c?: number[];
  thickness_nm?: number[];
  dry?: string[];
  wet?: string[];
  name?: string[];
}
/** For lifting by hand: seconds after the lifting began. */
export interface Beat { second: number; lift_mm: number; voltage_v: number }
export interface Lift {
  length_mm: number;
  speed_mm_per_s: number;
  seconds: number;
  /** The part hangs still at the first voltage so long, before it is lifted. */
  before_s?: number;
  at_mm: number[];
  voltage_v: number[];
  beats: Beat[];
  words: string[];
  passes: string[];
}
export interface Sizing {
  area_cm2: number;
  peak_current_a: number;
  supply_current_a: number | null;
  charge_c: number;
  hydrogen_ml: number;
  energy_j: number;
  most_parts: number | null;
  words: string[];
}
export interface PlanSet { key: string; value: number; words: string; tightest: boolean }
export interface PlanStep {
  number: number;
  kind: 'route' | 'preparation';
  route: string;
  title: string;
  areas: string[];
  set: PlanSet[];
  do: string[];
  watch: string[];
  stop: string | null;
  seconds: number | null;
  cautions: Caution[];
  notes: string[];
  trace: Trace | null;
  passed: Passed[];
  lift: Lift | null;
  sizing: Sizing | null;
  lasts: { seconds: number; words: string } | null;
  /** What a coater's chamber does to the film. */
  chamber?: Chamber | null;
}
export interface Seen extends Shown { finish: Finish; lab: Triple }
export interface PlanWanted extends Shown { given: string; lab: Triple }
export interface Along extends Shown {
  at: number;
  thickness_nm: number;
  voltage_v?: number | null;
  lab: Triple;
  wanted?: PlanWanted | null;
  delta_e?: number | null;
  chance?: number | null;
}
export interface PlanArea extends Seen {
  share: number;
  wanted: PlanWanted | null;
  thickness_nm: Band90 | null;
  delta_e: number | null;
  delta_e_of_runs?: Band90 | null;
  chance: number | null;
  /** It bears the word that was asked for. */
  chance_of_name?: number | null;
  /** Two pieces within 2 of one another, wherever they land. */
  chance_match: number | null;
  /** Two pieces that land, and match. */
  chance_alike: number | null;
  /** All pieces alike, where there are more than two. */
  set?: { pieces: number; chance_match: number } | null;
  may_also_be: { name: string; share: number }[];
  along: Along[] | null;
  limits?: Limits | null;
  /** What the area is called. `name` is the trade word of its colour: one object cannot hold both under one key. */
  area?: string;
}
export interface Hold { step: number; setting: string; delta_e_per_unit: number; unit: string; scatter_delta_e: number; words: string }
export interface Plan {
  schema: number;
  name: string;
  feasible: boolean;
  why_not: { step: number; limit: string; words: string; nearest: string | null }[];
  start: Seen;
  part: { area_cm2: number; one_cm2?: number; count?: number; how: string } | null;
  steps: PlanStep[];
  areas: PlanArea[];
  alike: { words: string[]; hold: Hold[]; by_colour?: { name: string; delta_e_per_unit: number; unit: string }[]; forgiving?: string };
  options: { kind: string; words: string; delta_e?: number | null }[];
  cautions: Caution[];
  notes: string[];
  sources: Source[];
}
