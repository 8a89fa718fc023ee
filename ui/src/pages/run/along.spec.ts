// A fade as a strip.
import { describe, expect, it } from 'vitest';
import type { Along, PlanArea, PlanStep } from '../../house/answers';
import { areaName, bands, fadeOf, wantedAlong } from './along';

const at = (place: number, name: string, wanted: string | null = null) => ({ at: place, name, srgb: '#888888', wanted: wanted === null ? null : { name: wanted } }) as unknown as Along;
const fade = [at(0, 'gold', 'gold'), at(25, 'gold'), at(50, 'purple'), at(75, 'blue'), at(100, 'blue', 'blue')];

describe('a fade', () => {
  it('is named in spans that leave no gap', () => expect(bands(fade.map((f) => ({ value: f.at, name: f.name })))).toEqual([{ name: 'gold', from: 0, to: 50 }, { name: 'purple', from: 50, to: 75 }, { name: 'blue', from: 75, to: 100 }]));
  it('runs over the places of its points', () => expect(fadeOf(fade, 'rim').rows[0]?.points.map((p) => p.value)).toEqual([0, 25, 50, 75, 100]));
  it('knows where a colour was wanted', () => expect(wantedAlong(fade).map((w) => [w.at, w.wanted.name])).toEqual([[0, 'gold'], [100, 'blue']]));
});

it('an area has its name, or its number', () => {
  const [one, two] = [{ area: 'rim' }, {}] as unknown as [PlanArea, PlanArea];
  const step = (areas: string[]) => ({ areas }) as unknown as PlanStep;
  expect(areaName({ areas: [one, two], steps: [] }, one)).toBe('rim');
  expect(areaName({ areas: [one, two], steps: [step(['crown'])] }, two)).toBe('area 2');
  expect(areaName({ areas: [one, two], steps: [step(['crown']), step(['rim', 'crown'])] }, two)).toBe('crown');
  expect(areaName({ areas: [two], steps: [] }, two)).toBe('the whole part');
  expect(areaName({ areas: [two], steps: [step(['whole'])] }, two)).toBe('the whole part');
});
