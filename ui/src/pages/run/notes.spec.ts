// The record of what was done.
import { describe, expect, it } from 'vitest';
import type { PlanStep } from '../../house/answers';
import { asPlanned, numberOf, record, timeOfDay, wallTime, withNoted } from './notes';

const step = { number: 2, title: 'Anodise in "citric" jar', set: [{ key: 'voltage_v', value: 62, words: '62.0 V', tightest: true }] } as unknown as PlanStep;
const noon = new Date(2025, 2, 9, 14, 5, 31);

describe('noting', () => {
  it('takes the time of day of the wall', () => {
    expect(wallTime(noon)).toBe('2025-03-09T14:05:31');
    expect(timeOfDay(asPlanned(step, 24, noon))).toBe('14:05');
  });
  it('as planned keeps what was planned', () => expect(asPlanned(step, null, noon)).toEqual({ step: 2, at: '2025-03-09T14:05:31', as_planned: true, set: [{ key: 'voltage_v', value: 62, planned: 62 }], seconds: null, words: '' }));
  it('a second word on a step takes the place of the first, in the order of the steps', () => {
    const one = asPlanned({ ...step, number: 1 }, null, noon);
    const two = asPlanned(step, null, noon);
    expect(withNoted([two], one)).toEqual([one, two]);
    expect(withNoted([one, two], { ...two, words: 'again' }).map((n) => n.words)).toEqual(['', 'again']);
  });
  it('reads numbers with a comma or a point, and refuses words', () => {
    expect(numberOf(' 61,5 ', 'volts')).toBe(61.5);
    expect(() => numberOf('about 60', 'voltage')).toThrow('voltage: "about 60" is no number');
    expect(() => numberOf('', 'voltage')).toThrow('is no number');
  });
});

describe('the file', () => {
  it('is TOML with a row for each step', () => {
    const other = { ...asPlanned(step, 25.5, noon), as_planned: false, set: [{ key: 'voltage_v', value: 61.5, planned: 62 }], words: 'a "pause"\nat 20 V' };
    expect(record('blue to gold', [step], [other])).toBe(`# What was really done in a recipe, as it was noted beside the bath.
schema = 1
recipe = "blue to gold"

[[done]]
step = 2
title = "Anodise in \\"citric\\" jar"
at = "2025-03-09T14:05:31"
as_planned = false
seconds = 25.5
words = "a \\"pause\\"\\u000aat 20 V"

[[done.set]]
key = "voltage_v"
value = 61.5
planned = 62.0
`);
  });
  it('writes numbers that TOML reads as such', () => {
    const tiny = { ...asPlanned(step, 1e-7, noon), set: [{ key: 'k', value: 1e21, planned: 1.5e-9 }] };
    expect(record('x', [], [tiny])).toMatch(/seconds = 1e-7\n[^]*value = 1e\+21\nplanned = 1\.5e-9\n/);
  });
});
