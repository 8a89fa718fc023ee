// The line that belongs to now.
import { describe, expect, it } from 'vitest';
import type { Lift, PlanStep } from '../../house/answers';
import { aim, around, latest, moment, showing, strip, timed } from './beats';

const lift = { before_s: 20, seconds: 6, beats: [{ second: 0, lift_mm: 0, voltage_v: 12 }, { second: 2, lift_mm: 10, voltage_v: 13 }, { second: 4, lift_mm: 20, voltage_v: 14 }] } as unknown as Lift;

describe('beats', () => {
  it('fall after the part has hung still', () => {
    expect(timed(lift).map((b) => b.at_s)).toEqual([20, 22, 24]);
    const { before_s: _, ...at_once } = lift;
    expect(timed(at_once).map((b) => b.at_s)).toEqual([0, 2, 4]);
  });
  it('are now from their second on', () => {
    const times = [20, 22, 24];
    expect([0, 19.99, 20, 21.9, 22, 23.9, 24, 300].map((t) => latest(times, t))).toEqual([-1, -1, 0, 0, 1, 1, 2, 2]);
    expect(latest([], 5)).toBe(-1);
  });
  it('are shown with what comes', () => {
    expect(around(40, -1, 6)).toEqual({ from: 0, to: 6 });
    expect(around(40, 10, 6)).toEqual({ from: 9, to: 15 });
    expect(around(40, 39, 6)).toEqual({ from: 34, to: 40 });
    expect(around(3, 1, 6)).toEqual({ from: 0, to: 3 });
  });
});

describe('colours that pass', () => {
  const passed = [{ name: 'gold', from_s: 0, to_s: 3, srgb: '#ccaa33' }, { name: 'purple', from_s: 3, to_s: 8, srgb: '#663377' }];
  it('show from their beginning to that of the next', () => expect([0, 2.9, 3, 8].map((t) => showing(passed, t))).toEqual([0, 0, 1, -1]));
  it('come from the moment that was reached last; what is left out stays out', () => {
    const trace = { time_s: [0, 1, 2], wet: ['#000001', '#000002', '#000003'], name: ['a', 'b', 'c'], current_a: [3, 2, 1] };
    expect(moment(trace, 1.5)).toMatchObject({ wet: '#000002', name: 'b', amperes: 2, volts: undefined });
    expect(moment(trace, 50).name).toBe('c');
    expect(moment(trace, -1).name).toBe('a');
  });
  it('are a strip in time, not in samples', () => expect(strip([0, 1, 4], ['#a', '#b', '#c'])).toBe('linear-gradient(to right,#a 0.00% 25.00%,#b 25.00% 100.00%,#c 100.00% 100.00%)'));
});

it('the timer counts towards the step, else the lift, else nothing', () => {
  expect(aim({ seconds: 24, lift } as unknown as PlanStep)).toBe(24);
  expect(aim({ seconds: null, lift } as unknown as PlanStep)).toBe(6);
  expect(aim({ seconds: null, lift: null } as unknown as PlanStep)).toBeNull();
});
