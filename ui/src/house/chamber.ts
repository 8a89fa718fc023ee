// The shapes of what a plan tells of a coater's chamber, and of the answer about its loads (docs/json.md).
import type { Caution, Shown, Source, Triple } from './answers';

export interface Place extends Shown {
  at: string;
  height_mm: number | null;
  share: number;
  thickness_nm: number;
  lab: Triple;
  delta_e: number;
}
export interface AboveView {
  table_mm: number;
  satellite_mm: number;
  satellites: [number, number][];
  targets: { x_mm: number; y_mm: number; bearing_deg: number; width_mm: number }[];
  path_mm: [number, number][];
  turn_deg: number[];
  /** A share of the mean where no rate is known. */
  rate_nm_per_min: number[];
  /** A share of one turn's layer where no rate is known. */
  laid_nm: number[];
}
export interface Load {
  rotation: number;
  positions: Place[];
  facets: Place[];
  worn: { groove_mm: number; share: number; positions: Place[] };
  picture: AboveView;
  words: string[];
}
export interface Turns {
  rpm: number;
  count: number;
  layer_nm: number;
  whole: { turns: number; thickness_nm: number; seconds: number }[];
  spread_nm: number;
  words: string[];
}
export interface Balance {
  curve: { pressure_pa: number[]; flow_sccm: number[]; cathode_v: number[]; rate_share: number[]; target_compound: number[]; wall_compound: number[]; steady: boolean[] };
  jump: { up_sccm: number; up_range: [number, number]; down_sccm: number; down_range: [number, number] } | null;
  pumping_l_per_s: number | null;
  pumping_times: number;
  up_sccm_v: [number, number][];
  down_sccm_v: [number, number][];
  residual_v: number;
}
export interface Gas {
  gas: string;
  flow_sccm: number | null;
  composition: number | null;
  composition_sd: number | null;
  range_sccm: [number, number] | null;
  branch: 'metal' | 'compound' | null;
  read_back: { flow_sccm: number; composition: number; delta_e: number }[];
  balance: Balance | null;
  words: string[];
}
export interface Layers {
  thickness_nm: number[];
  composition: number[] | null;
  lab: Triple[];
  srgb: string[];
  word: string[];
  slices: number;
  error_delta_e: number | null;
  words: string[];
}
export interface Control {
  repeatability: number;
  shutter_nm: number | null;
  turn_nm: number | null;
  sd_nm: number;
  thinnest_nm: number;
  thinnest_controlled_nm: number | null;
  words: string[];
}
export interface Chamber {
  control: Control;
  turns: Turns | null;
  load: Load | null;
  gas: Gas | null;
  layers: Layers;
  temperature: { part_c: number; words: string[] } | null;
}

export interface Inside { at: string; difference: Triple; inside: [boolean, boolean, boolean]; share_inside: number }
/** Limits of an area: how far each axis may be from the master. */
export interface Limits {
  light: string;
  observer: string;
  master: Triple;
  axes: { axis: string; low: number | null; high: number | null; difference: number; inside: boolean; share_inside: number | null }[];
  share_inside: number | null;
  positions: Inside[];
  on_part: Inside[];
  yield: number | null;
  words: string[];
}

export interface Witness extends Shown {
  at: string;
  lab: Triple;
  delta_e: number | null;
  difference: Triple | null;
  inside: [boolean, boolean, boolean] | null;
  passes: boolean | null;
}
export interface Why { words: string; check: string; change: string; source: string; for_it: string[] }
export interface Cause { id: string; words: string; probability: number; why: Why[] }
export interface LoadTold {
  name: string;
  date: string | null;
  settings: Record<string, number>;
  seconds: number[];
  changed: string[];
  witnesses: Witness[];
  causes: Cause[];
  verdict: string;
}
export interface Correction {
  name: string;
  seen_under: string;
  wanted: (Shown & { lab: Triple; limits: ([number, number] | null)[] | null }) | null;
  film: string | null;
  loads: LoadTold[];
  trend: { against: string; words: string } | null;
  next: (Shown & { set: { step: number | null; key: string; from: number; to: number; words: string }[]; lab: Triple; delta_e: number; chance: number; chance_unchanged: number | null; words: string[] }) | null;
  response: { settings: Record<string, [number, number]>; slopes: { setting: string; lab: Triple; sd: Triple }[]; scatter: Triple; runs: number; words: string[]; refused: string | null } | null;
  notes: string[];
  cautions: Caution[];
  sources: Source[];
}
