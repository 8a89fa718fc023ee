// What a person owns, in a line: words around the numbers as they were given, no formula.
import type { Film, Quantity, Shelf, Workshop } from '../../house/answers';

/** A quantity as given, with its unit. */
export const told = (value: Quantity | undefined, unit: string): string => (value === undefined ? '' : typeof value === 'number' ? `${value} ${unit}`.trim() : value);
export const joined = (words: (string | undefined | false)[]): string => words.filter(Boolean).join(', ');
export const either = (words: string[]): string => (words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`);
const both = (words: string[]): string => (words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`);

export function filmWord(film: Pick<Film, 'material'>): string {
  const m = film.material;
  return typeof m === 'string' ? m : 'table' in m ? m.table : `n ${m.n}`;
}

export interface Ability { route: string; words: string; can: boolean }

/** What this workshop can do and what it lacks, route by route. */
export function abilities(shop: Workshop, shelf: Shelf): Ability[] {
  return [...anodising(shop, shelf), ...heating(shop, shelf), ...coating(shop)];
}

const known = (shop: Workshop, shelf: Shelf) => shop.metal.filter((m) => !m.film?.length).map((m) => shelf.materials.find((x) => x.id === m.id)).filter((m) => m !== undefined);

function anodising(shop: Workshop, shelf: Shelf): Ability[] {
  const metals = known(shop, shelf).filter((m) => m.anodise);
  const baths = (shop.bath ?? []).filter((b) => !shelf.electrolytes.find((e) => e.id === b.electrolyte)?.unfit);
  const supplies = shop.anodiser ?? [];
  const lacks = [metals.length === 0 && 'an uncoated metal that takes colour from volts, such as titanium or niobium', baths.length === 0 && 'a bath fit for colour', supplies.length === 0 && 'a supply'].filter((x) => x !== false);
  if (lacks.length > 0) return [{ route: 'Anodise', can: false, words: `not yet: it needs ${both(lacks)}` }];
  const ends = [...new Set(metals)].map((m) => `${m.anodise?.high_v} V on ${m.id}`);
  return supplies.map((s) =>
    s.isolated === false
      ? { route: 'Anodise', can: false, words: `not with ${s.name}: a supply that is not isolated from the mains is refused` }
      : { route: 'Anodise', can: true, words: `${both([...new Set(metals.map((m) => m.id))])} up to ${told(s.max_voltage_v, 'V')} with ${s.name}, in ${either(baths.map((b) => b.name))}. The published laws of growth end at ${both(ends)}.${s.isolated === undefined ? ' Say whether this supply is isolated from the mains.' : ''}` },
  );
}

function heating(shop: Workshop, shelf: Shelf): Ability[] {
  const metals = [...new Set(known(shop, shelf).filter((m) => m.heat))];
  const ovens = shop.oven ?? [];
  const lacks = [metals.length === 0 && 'an uncoated metal with a known law, such as titanium or stainless-austenitic', ovens.length === 0 && 'an oven'].filter((x) => x !== false);
  if (lacks.length > 0) return [{ route: 'Heat', can: false, words: `not yet: it needs ${both(lacks)}` }];
  const laws = metals.map((m) => `${m.id} from ${m.heat?.low_c} to ${m.heat?.high_c} C, ${m.heat?.low_minutes} to ${m.heat?.high_minutes} min`);
  return ovens.map((o) => ({ route: 'Heat', can: true, words: `up to ${told(o.max_temperature_c, 'C')} in ${o.name}. Laws are known for ${both(laws)}.` }));
}

function coating(shop: Workshop): Ability[] {
  const coaters = shop.coater ?? [];
  if (coaters.length === 0) return [{ route: 'Coat', can: false, words: 'not yet: it needs a coater of one\u2019s own, or one that takes orders' }];
  return coaters.map((c) => ({
    route: c.kind === 'arc' ? 'Arc' : 'Sputter',
    can: (c.films ?? []).length > 0,
    words: `${both((c.films ?? []).map((f) => (typeof f === 'string' ? f : `${f.material} (composition ${f.composition ?? 'free'})`))) || 'no film yet'} with ${c.name}, from ${told(c.thinnest_nm, 'nm')}${c.thickest_nm === undefined ? '' : ` to ${told(c.thickest_nm, 'nm')}`}`,
  }));
}
