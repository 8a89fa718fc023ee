// Dropped tables (spectra, lamps) stay in this browser, so that a reload loses none.
const KEPT = 'huewright-tables';
/** What a browser's store takes beside the state, letters. */
const MOST = 2_000_000;

export function keepFiles(files: Record<string, string>) {
  const text = JSON.stringify(files);
  try {
    if (text.length <= MOST) localStorage.setItem(KEPT, text);
  } catch {
    // A full or forbidden store: the tables last until the page is closed, and a reload asks for them again.
  }
}

export function keptFiles(): Record<string, string> {
  try {
    const given: unknown = JSON.parse(localStorage.getItem(KEPT) ?? '{}');
    if (typeof given !== 'object' || given === null) return {};
    return Object.fromEntries(Object.entries(given).filter((pair): pair is [string, string] => typeof pair[1] === 'string'));
  } catch {
    return {};
  }
}
