// The log of loads as a file: its head, and one load more. What the file means, the engine reads.
import { asTyped, quoted } from '../../../house/toml';
import type { Quantity } from '../../../house/answers';

const LOAD = /^[ \t]*\[\[[ \t]*load[ \t]*\]\]/m;

export const hasLoads = (log: string) => LOAD.test(log);
/** All that stands before the first load. */
export const headOf = (log: string) => log.slice(0, hasLoads(log) ? log.search(LOAD) : log.length);
const word = (log: string, key: string): string | undefined => new RegExp(`^[ \\t]*${key}[ \\t]*=[ \\t]*["']([^"']+)["']`, 'm').exec(headOf(log).split(/^[ \t]*\[/m)[0] ?? '')?.[1];
export const nameOf = (log: string) => word(log, 'name');
export const recipeOf = (log: string) => word(log, 'recipe');
/** How many films a recipe lays in a coater, where that is plain to see. */
export const filmsOf = (recipe: string) => recipe.match(/^[ \t]*route[ \t]*=[ \t]*["'](sputter|arc)["']/gm)?.length ?? 0;

/** L*, a*, b* as they are typed: three numbers, apart by blanks, commas or semicolons; a decimal comma where blanks part them. */
export function labOf(typed: string, what: string): [number, number, number] {
  const plain = typed.trim().replaceAll('\u2212', '-');
  const parts = /^\S+\s+\S+\s+\S+$/.test(plain) && !/[,;]\s/.test(plain) ? plain.split(/\s+/).map((p) => p.replace(',', '.')) : plain.split(/[\s,;]+/);
  const numbers = parts.filter((p) => p !== '').map(Number);
  const [l, a, b] = numbers;
  if (numbers.length !== 3 || l === undefined || a === undefined || b === undefined || !numbers.every(Number.isFinite)) throw new Error(`${what}: "${typed}" is not L*, a*, b*; write three numbers, such as 23.1 1.2 -35.1`);
  return [l, a, b];
}

export interface Head {
  name: string;
  recipe: string | undefined;
  light: string;
  observer: string;
  /** As typed; empty: that of the recipe. */
  wanted: string;
  limits: { l: string; a: string; b: string };
}

/** The head of a new log. */
export function headText(head: Head): string {
  const lines = ['# The log of a coater\u2019s loads. A key that a load leaves out is as in the load before.', 'schema = 1', `name = ${quoted(head.name)}`];
  if (head.recipe !== undefined) lines.push(`recipe = ${quoted(head.recipe)}`);
  lines.push(`light = ${quoted(head.light)}`, `observer = ${head.observer}`);
  if (head.wanted.trim() !== '') {
    lines.push('', '[wanted]', `lab = [${labOf(head.wanted, 'The wanted colour').join(', ')}]`);
    const limits = Object.entries(head.limits).filter(([, v]) => v.trim() !== '').map(([axis, v]) => `${axis} = ${asTyped(v)}`);
    if (limits.length > 0) lines.push(`limits = { ${limits.join(', ')} }`);
  }
  return `${lines.join('\n')}\n`;
}

export interface Entry {
  name: string;
  date: string;
  /** Only what differs from the load before. */
  changed: [string, Quantity][];
  /** Shutter times; left out where they are as before. */
  seconds: Quantity[] | undefined;
  note: string;
  witnesses: { at: string; lab: string }[];
}

const value = (v: Quantity) => asTyped(String(v));

/** The log with one load more. */
export function withLoad(log: string, entry: Entry): string {
  const lines = [log.trimEnd(), '', '[[load]]'];
  if (entry.name.trim() !== '') lines.push(`name = ${quoted(entry.name.trim())}`);
  if (entry.date !== '') lines.push(`date = ${quoted(entry.date)}`);
  for (const [key, v] of entry.changed) lines.push(`${key} = ${value(v)}`);
  if (entry.seconds) lines.push(`seconds = ${entry.seconds.length === 1 ? value(entry.seconds[0] ?? 0) : `[${entry.seconds.map(value).join(', ')}]`}`);
  if (entry.note.trim() !== '') lines.push(`note = ${quoted(entry.note.trim())}`);
  for (const witness of entry.witnesses) lines.push('[[load.witness]]', `at = ${quoted(witness.at.trim())}`, `lab = [${labOf(witness.lab, `The colour at "${witness.at}"`).join(', ')}]`);
  return `${lines.join('\n')}\n`;
}
