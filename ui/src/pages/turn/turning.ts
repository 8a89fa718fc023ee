// What is turned, and what that does to the finish: picking and replacing, no formula.
import type { Film, Finish, Look, Material, Point, Ribbon, Shelf } from '../../house/answers';
import type { State, Turn } from '../../house/state.svelte';

/** What the engine says of a finish in numbers: text with a unit is never read here. */
export type Measures = Pick<Look, 'films' | 'over'>;

export function thickness(finish: Finish, index: number, measures: Measures | undefined): number | undefined {
  const value = finish.film?.[index]?.thickness_nm;
  return typeof value === 'number' ? value : measures?.films[index]?.thickness_nm;
}

/** The film that is turned, or the outermost. */
export function turnedFilm(state: State): number {
  const last = (state.finish.film?.length ?? 0) - 1;
  return state.turn.setting === 'thickness_nm' ? Math.min(state.turn.film, last) : last;
}

export function withFilm(finish: Finish, index: number, change: Partial<Film>): Finish {
  return { ...finish, film: (finish.film ?? []).map((f, i) => (i === index ? { ...f, ...change } : f)) };
}

/** The metal under the films, if the library has it. */
export function baseOf(finish: Finish, shelf: Shelf | undefined): Material | undefined {
  return shelf?.materials.find((m) => m.id === finish.base.material);
}

const PLACES = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth', 'ninth', 'tenth'];
/** Which film, for a person: by its material, and by its place from the metal outward where there are several. */
function filmWords(film: Film, index: number, of: number): string {
  const material = typeof film.material === 'string' ? film.material : 'own film';
  if (of < 2) return material;
  const place = PLACES[index];
  return place ? `the ${place} film, ${material}` : `film ${index + 1}, ${material}`;
}

/** What can be turned on this finish: a thickness always; volts and heat where the metal grows its own film alone. */
export function turns(finish: Finish, shelf: Shelf | undefined, measures?: Measures): { turn: Turn; words: string; from: number; to: number }[] {
  const films = finish.film ?? [];
  const list: { turn: Turn; words: string; from: number; to: number }[] = films.map((film, i) => ({
    turn: { setting: 'thickness_nm', film: i },
    words: `thickness of ${filmWords(film, i, films.length)}, nm`,
    from: 0,
    to: Math.max(250, Math.ceil((1.6 * (thickness(finish, i, measures) ?? 0)) / 50) * 50),
  }));
  const base = baseOf(finish, shelf);
  const bare = (film: string) => (finish.over ?? []).length === 0 && (films.length === 0 || (films.length === 1 && films[0]?.material === film));
  if (base?.anodise && bare(base.anodise.film)) {
    list.push({ turn: { setting: 'voltage_v' }, words: 'voltage of a bath, V', from: base.anodise.low_v, to: base.anodise.high_v });
  }
  if (base?.heat && bare(base.heat.film)) {
    const minutes = Math.min(60, base.heat.high_minutes);
    list.push({ turn: { setting: 'temperature_c', minutes }, words: `temperature, ${minutes} min in air, C`, from: base.heat.low_c, to: base.heat.high_c });
  }
  return list;
}

/** The film that volts or heat grow on this metal. */
export function grownFilm(state: State, shelf: Shelf | undefined): string | undefined {
  const base = baseOf(state.finish, shelf);
  return state.turn.setting === 'voltage_v' ? base?.anodise?.film : base?.heat?.film;
}

/** The finish that a ribbon starts from: what is turned begins at nothing. */
export function groundOf(state: State): Finish {
  const index = turnedFilm(state);
  return index < 0 ? state.finish : withFilm(state.finish, index, { thickness_nm: 0 });
}

export function nearest(points: Point[], of: (point: Point) => number, wanted: number): Point | undefined {
  return points.reduce<Point | undefined>((best, p) => (!best || Math.abs(of(p) - wanted) < Math.abs(of(best) - wanted) ? p : best), undefined);
}

/** Where the cursor stands on the ribbon. */
export function placeOn(ribbon: Ribbon | undefined, state: State, measures?: Measures): number | undefined {
  const nm = thickness(state.finish, turnedFilm(state), measures);
  if (nm === undefined) return undefined;
  if (state.turn.setting === 'thickness_nm') return nm;
  return nearest(ribbon?.rows[0]?.points ?? [], (p) => p.thickness_nm, nm)?.value;
}

/** The finish after the cursor was moved to `value`. */
export function turnedTo(state: State, ribbon: Ribbon | undefined, value: number, shelf: Shelf | undefined): Finish {
  if (state.turn.setting === 'thickness_nm') return withFilm(state.finish, turnedFilm(state), { thickness_nm: value });
  const point = nearest(ribbon?.rows[0]?.points ?? [], (p) => p.value, value);
  if (!point) return state.finish;
  const film = grownFilm(state, shelf);
  if ((state.finish.film ?? []).length === 0 && film) return { ...state.finish, film: [{ material: film, thickness_nm: point.thickness_nm }] };
  return withFilm(state.finish, turnedFilm(state), { thickness_nm: point.thickness_nm });
}
