// Shares and lists in words; the numbers are the engine's.
import type { Way } from '../../house/answers';
import type { SwatchColour } from '../../parts/Swatch.svelte';

const PLAIN: [number, string][] = [
  [1 / 6, '1 in 6'], [1 / 5, '1 in 5'], [1 / 4, '1 in 4'], [3 / 10, '3 in 10'], [1 / 3, '1 in 3'], [2 / 5, '2 in 5'], [1 / 2, '1 in 2'], [3 / 5, '3 in 5'],
  [2 / 3, '2 in 3'], [7 / 10, '7 in 10'], [3 / 4, '3 in 4'], [4 / 5, '4 in 5'], [5 / 6, '5 in 6'], [9 / 10, '9 in 10'],
];

export const percent = (share: number) => `${(100 * share).toFixed(0)}\u202f%`;

/** `about 1 in 4 (23 %)`. */
export function odds(share: number): string {
  const number = percent(share);
  if (share >= 0.96) return `nearly always (${number})`;
  if (share <= 0) return `never in what was drawn (${number})`;
  if (share < 0.01) return `less than 1 in 100 (${number})`;
  if (share < 0.15) return `about 1 in ${Math.round(1 / share)} (${number})`;
  const near = PLAIN.reduce((best, row) => (Math.abs(row[0] - share) < Math.abs(best[0] - share) ? row : best));
  return `about ${near[1]} (${number})`;
}

/** `1, 3 and 4`. */
export function listed(words: (string | number)[]): string {
  const last = words.at(-1);
  return words.length < 2 ? String(last ?? '') : `${words.slice(0, -1).join(', ')} and ${last}`;
}

/** What a way makes, for a swatch; nothing where nothing can be set. */
export function made(way: Way): SwatchColour | undefined {
  if (way.srgb === null || way.display_p3 === null) return undefined;
  return { srgb: way.srgb, srgb_out_of_gamut: way.srgb_out_of_gamut, display_p3: way.display_p3, display_p3_out_of_gamut: way.display_p3_out_of_gamut };
}
