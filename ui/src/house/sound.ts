// A state from outside is taken only when it is sound: a link may be cut off, made by hand, or meant to do harm. Here is
// checked what the page leans on while it draws; what the fields mean, the engine checks.
import { FIRST, LONGEST_LOADS, LONGEST_RECIPE, type State } from './state.svelte';

/** No list of a state is longer: each row is drawn, or asked about. */
const MOST_ROWS = 500;

type Fields = Record<string, unknown>;
type Check = (value: unknown) => boolean;

export const isObject = (value: unknown): value is Fields => typeof value === 'object' && value !== null && !Array.isArray(value);
const isWord: Check = (value) => typeof value === 'string';
const isNumber: Check = (value) => typeof value === 'number' && Number.isFinite(value);
const isTrueOrFalse: Check = (value) => typeof value === 'boolean';
/** A number in the key's unit, or text with a unit. */
const isQuantity: Check = (value) => isNumber(value) || isWord(value);
const or = (...checks: Check[]): Check => (value) => checks.some((check) => check(value));
const oneOf = (...words: string[]): Check => (value) => words.includes(value as string);
const list = (row: Check): Check => (value) => Array.isArray(value) && value.length <= MOST_ROWS && value.every(row);

/** An object with all of the first fields, and of the others those that it has. */
function shape(needed: Record<string, Check>, others: Record<string, Check> = {}): Check {
  return (value) => isObject(value)
    && Object.entries(needed).every(([key, check]) => check(value[key]))
    && Object.entries(others).every(([key, check]) => value[key] === undefined || check(value[key]));
}
const quantities = (...keys: string[]): Record<string, Check> => Object.fromEntries(keys.map((key) => [key, isQuantity]));

const isMaterial = or(isWord, shape({ table: isWord }), shape({ n: isQuantity }, quantities('k')));
const films = list(shape({ material: isMaterial }, { source: isWord, ...quantities('thickness_nm', 'spread', 'porosity', 'composition') }));
const surface = { source: isWord, texture: isWord, ...quantities('roughness_nm', 'slope_deg') };

const LOAD = ['rpm', 'table_radius_mm', 'satellites', 'satellite_radius_mm', 'satellite_ratio', 'pin_ratio', 'inner_mm', 'height_mm'];
const TARGET = ['bearing_deg', 'axis_mm', 'track_height_mm', 'track_width_mm', 'emission', 'centre_mm', 'groove_mm'];
const isWorkshop = shape(
  { metal: list(shape({ id: isWord }, { ...surface, film: films })) },
  {
    schema: isNumber,
    name: isWord,
    bath: list(shape({ name: isWord, electrolyte: isWord }, quantities('percent', 'temperature_c'))),
    anodiser: list(shape({ name: isWord, kind: isWord }, { isolated: isTrueOrFalse, ...quantities('max_voltage_v', 'max_current_a', 'repeatability_v', 'gap_mm', 'spread') })),
    oven: list(shape({ name: isWord }, quantities('max_temperature_c', 'repeatability_c', 'spread'))),
    coater: list(shape(
      { name: isWord, kind: isWord, films: list(or(isWord, shape({ material: isWord }, quantities('composition')))) },
      {
        ...quantities('thinnest_nm', 'thickest_nm', 'repeatability', 'repeatability_composition', 'rate_nm_per_min', 'part_temperature_c', 'spread', 'shutter_s', 'pressure_pa'),
        load: shape({ rotation: isNumber }, quantities(...LOAD)),
        target: list(shape({}, quantities(...TARGET))),
        gas: list(isObject),
      },
    )),
  },
);
const isFinish = shape(
  { base: shape({ material: isMaterial }, surface) },
  { schema: isNumber, name: isWord, medium: isWord, film: films, over: list(shape({ material: isMaterial }, quantities('thickness_um'))) },
);
const isSizes: Check = (value) => isObject(value) && Object.values(value).every(isQuantity);
const isPart = shape({ metal: isWord }, { schema: isNumber, name: isWord, texture: isWord, count: isQuantity, use: list(isWord), shape: isSizes, weighed: isSizes });
const isTurn = or(
  shape({ setting: oneOf('thickness_nm'), film: isNumber }),
  shape({ setting: oneOf('voltage_v') }, { electrolyte: isWord }),
  shape({ setting: oneOf('temperature_c'), minutes: isNumber }),
  shape({ setting: oneOf('minutes'), temperature_c: isNumber }),
);
const isText = (most: number): Check => (value) => typeof value === 'string' && value.length <= most;
const isRun = shape({
  step: isNumber,
  noted: list(shape({ step: isNumber, at: isWord, as_planned: isTrueOrFalse, words: isWord, seconds: or((v) => v === null, isNumber), set: list(shape({ key: isWord, value: isNumber, planned: isNumber })) })),
});

const CHECKS: { [Key in keyof State]: Check } = {
  workshop: isWorkshop,
  part: or((value) => value === null, isPart),
  wishes: list(shape({ colour: isWord, at: isNumber })),
  pick: isNumber,
  view: shape({ light: isWord, observer: isWord, tilt_deg: isNumber }),
  finish: isFinish,
  turn: isTurn,
  from: isNumber,
  to: isNumber,
  chapter: isNumber,
  recipe: or((value) => value === null, isText(LONGEST_RECIPE)),
  run: isRun,
  chamber: isNumber,
  loads: or((value) => value === null, isText(LONGEST_LOADS)),
};
const KEYS = Object.keys(FIRST) as (keyof State)[];

/** The state, or nothing. Of its keys only those that the page knows are taken; one that is missing begins as on a first visit. */
export function sound(given: unknown): State | undefined {
  if (!isObject(given)) return undefined;
  if (!KEYS.every((key) => given[key] === undefined || CHECKS[key](given[key]))) return undefined;
  return Object.fromEntries(KEYS.map((key) => [key, given[key] ?? FIRST[key]])) as unknown as State;
}

/** What of a state can be read, where not all of it can. */
export function salvaged(given: unknown): State | undefined {
  if (!isObject(given)) return undefined;
  return sound(Object.fromEntries(KEYS.filter((key) => CHECKS[key](given[key])).map((key) => [key, given[key]])));
}
