// Which materials are listed, and in which order.
import type { MaterialRow } from '../../house/answers';

export const ROLES = [
  { id: 'base', words: 'bases' },
  { id: 'film', words: 'films' },
  { id: 'over', words: 'coats' },
] as const;
export type Role = (typeof ROLES)[number]['id'];
export const ORDERS = [
  { id: 'library', words: 'as in the library' },
  { id: 'disagreement', words: 'by disagreement, widest first' },
  { id: 'name', words: 'by name' },
] as const;
export type Order = (typeof ORDERS)[number]['id'];

export function listed(rows: MaterialRow[], role: Role | 'all', search: string, order: Order): MaterialRow[] {
  const words = search.toLowerCase().split(/\s+/).filter((w) => w !== '');
  const text = (row: MaterialRow) => `${row.id} ${row.words} ${row.name} ${row.stand_in ? 'stand-in' : ''} ${row.sources.map((s) => `${s.which} ${s.citation}`).join(' ')}`.toLowerCase();
  const found = rows.filter((row) => (role === 'all' || row.roles.includes(role)) && words.every((w) => text(row).includes(w)));
  if (order === 'name') return found.toSorted((a, b) => a.words.localeCompare(b.words));
  if (order === 'disagreement') return found.toSorted((a, b) => (b.spread_between_tables ?? -1) - (a.spread_between_tables ?? -1));
  return found;
}

/** What a disagreement between tables means for the eye (docs/decisions/0004: 2 and 5). */
export function disagreement(spread: number): string {
  if (spread <= 2) return 'hardly to be told apart';
  if (spread <= 5) return 'told apart side by side';
  return 'different colours: try which is true of yours';
}
