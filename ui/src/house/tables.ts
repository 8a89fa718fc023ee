// Dropped tables (spectra, lamps) stay in this browser, one place each, so that a reload loses none and two tabs do not
// overwrite one another.
import { drawn, keys, put } from './drawer';

const PLACE = 'huewright-table/';
let written: Record<string, string> = {};

/** Keeps what is new; tells the names that the browser did not take. */
export function keepFiles(files: Record<string, string>): string[] {
  const fresh = Object.entries(files).filter(([name, text]) => written[name] !== text);
  const refused = fresh.filter(([name, text]) => !put(PLACE + name, text)).map(([name]) => name);
  written = files;
  return refused;
}

export function keptFiles(): Record<string, string> {
  const found = keys(PLACE).map((k): [string, string] => [k.slice(PLACE.length), drawn(k) ?? '']);
  written = Object.fromEntries(found);
  return written;
}
