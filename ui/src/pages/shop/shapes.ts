// The shapes of a part and what is measured of each (docs/files.md, Part).
import type { Quantity } from '../../house/answers';
import type { Part } from '../../house/state.svelte';

export interface Length { key: string; label: string; /** May be a gauge instead. */ gauge?: boolean }
export interface ShapeWords { words: string; lengths: Length[]; /** What `faces = "outer"` leaves out. */ inner?: string }

const LENGTH: Length = { key: 'length_mm', label: 'Length' };
const WIDTH: Length = { key: 'width_mm', label: 'Width' };
const HEIGHT: Length = { key: 'height_mm', label: 'Height' };
const ACROSS: Length = { key: 'diameter_mm', label: 'Diameter' };
const OUTER: Length = { key: 'outer_diameter_mm', label: 'Outer diameter' };
const INNER: Length = { key: 'inner_diameter_mm', label: 'Inner diameter' };
const THICK: Length = { key: 'thickness_mm', label: 'Thickness', gauge: true };
const WIRE: Length = { ...ACROSS, gauge: true };

export const SHAPES: Record<string, ShapeWords> = {
  sheet: { words: 'sheet', lengths: [LENGTH, WIDTH, THICK] },
  disc: { words: 'disc', lengths: [ACROSS, THICK] },
  ring: { words: 'ring', lengths: [OUTER, INNER, { ...WIDTH, label: 'Width, along the finger' }] },
  tube: { words: 'tube', lengths: [OUTER, INNER, LENGTH], inner: 'the bore' },
  wire: { words: 'wire', lengths: [WIRE, LENGTH] },
  rod: { words: 'rod', lengths: [WIRE, LENGTH] },
  dome: { words: 'dome', lengths: [{ ...ACROSS, label: 'Diameter of the rim' }, HEIGHT], inner: 'the hollow side' },
  box: { words: 'box', lengths: [LENGTH, WIDTH, HEIGHT] },
  sphere: { words: 'ball', lengths: [ACROSS] },
};

export const WEIGHED: Record<string, Length[]> = {
  sheet: [{ key: 'weight_g', label: 'Weight of one' }, { ...THICK, label: 'Thickness of the sheet' }],
  wire: [{ key: 'weight_g', label: 'Weight of one' }, { ...WIRE, label: 'Diameter of the wire' }],
};

export type Sizes = Record<string, Quantity>;
const given = (sizes: Sizes, key: string) => sizes[key] !== undefined && sizes[key] !== '';

/** What is measured of this part, and where it stands in its file. */
export function sizeOf(part: Part): { at: 'shape' | 'weighed'; sizes: Sizes; lengths: Length[]; kind: string } {
  if (part.weighed) {
    const kind = String(part.weighed['kind'] ?? 'sheet');
    return { at: 'weighed', sizes: part.weighed, lengths: WEIGHED[kind] ?? [], kind };
  }
  const sizes: Sizes = part.shape ?? {};
  const kind = String(sizes['kind'] ?? '');
  return { at: 'shape', sizes, lengths: SHAPES[kind]?.lengths ?? [], kind };
}

/** What is still to be given before there is an area. */
export function missing(part: Part): string[] {
  const { sizes, lengths } = sizeOf(part);
  return lengths.filter((l) => !given(sizes, l.key) && !(l.gauge && given(sizes, 'gauge'))).map((l) => l.label.toLowerCase());
}
