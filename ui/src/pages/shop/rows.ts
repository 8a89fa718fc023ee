// Rows of a workshop while they are edited: a row keeps its key through its changes, so that focus and typed text stay with it.

const keys = new WeakMap<object, number>();
let count = 0;

/** The key of a row, the same for all its later states. */
export function keyOf(row: object): number {
  const known = keys.get(row);
  if (known !== undefined) return known;
  count += 1;
  keys.set(row, count);
  return count;
}

export type Change<T> = { [K in keyof T]?: T[K] | undefined };

/** The row after a change; what is changed to nothing is left out. */
export function edited<T extends object>(row: T, change: Change<T>): T {
  const next = Object.fromEntries(Object.entries({ ...row, ...change }).filter(([, v]) => v !== undefined)) as unknown as T;
  keys.set(next, keyOf(row));
  return next;
}

/** A name that no row bears yet. */
export function freeName(wanted: string, taken: string[]): string {
  if (!taken.includes(wanted)) return wanted;
  let n = 2;
  while (taken.includes(`${wanted} ${n}`)) n += 1;
  return `${wanted} ${n}`;
}

function reveal(field: HTMLElement) {
  for (let up: Element | null = field; up; up = up.parentElement) if (up instanceof HTMLDetailsElement) up.open = true;
  field.focus();
}

/** Shows the field of a path such as `coater[1].thinnest_nm`, if the form has it. */
export function showField(form: HTMLElement | undefined, path: string) {
  const field = form?.querySelector<HTMLElement>(`[data-path="${CSS.escape(path)}"] :is(input, select)`);
  if (field) reveal(field);
}

/** Words about a field whose text was refused, and so differs from what would be saved; it gets the focus. */
export function untaken(form: HTMLElement | undefined): string | undefined {
  const field = form?.querySelector<HTMLInputElement>('input[aria-invalid="true"]');
  if (!field) return undefined;
  reveal(field);
  return `Not saved: "${field.value}" under "${field.labels?.[0]?.textContent?.trim() ?? 'a field'}" is not taken. Correct it, then save.`;
}
