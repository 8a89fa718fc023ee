// The timer counts by the time of day, and reads as a person says it.
import { describe, expect, it } from 'vitest';
import { clockFrom, counted, face, paused, spoken, started, STOPPED, touched } from './clock';

describe('the clock', () => {
  it('counts from start to pause and goes on from there', () => {
    const one = paused(started(STOPPED, 1_000), 4_500);
    expect(counted(one, 99_000)).toBe(3.5);
    const two = started(one, 100_000);
    expect(counted(two, 101_000)).toBe(4.5);
    expect(started(two, 200_000)).toBe(two);
  });
  it('never counts backward when the time of day is set back', () => expect(counted(started(STOPPED, 5_000), 1_000)).toBe(0));
  it('knows whether it ran', () => {
    expect(touched(STOPPED)).toBe(false);
    expect(touched(started(STOPPED, 1))).toBe(true);
    expect(touched({ since: null, before: 20 })).toBe(true);
  });
  it('comes back after a reload, for its own step only', () => {
    const text = JSON.stringify({ of: '2 recipe', since: 7_000, before: 500 });
    expect(clockFrom(text, '2 recipe')).toEqual({ since: 7_000, before: 500 });
    expect(clockFrom(text, '3 recipe')).toEqual(STOPPED);
    expect(clockFrom('{', 'x')).toEqual(STOPPED);
    expect(clockFrom(null, 'x')).toEqual(STOPPED);
  });
});

describe('time in figures and words', () => {
  it.each([[0, '0:00'], [7.9, '0:07'], [760, '12:40'], [3900, '1:05:00'], [-3, '0:00']])('%s s is %s', (s, words) => expect(face(s)).toBe(words));
  it.each([[8.54, '8.5 s'], [24, '24 s'], [99.4, '99 s'], [200, '3 min 20 s'], [2400, '40 min'], [3900, '1 h 5 min'], [7199, '2 h'], [3600, '1 h']])('%s s is %s', (s, words) => expect(spoken(s)).toBe(words));
});
