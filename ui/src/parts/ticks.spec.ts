import { describe, expect, it } from 'vitest';
import { ticks } from './ticks';

describe('ticks of an axis', () => {
  it.each([
    [0, 24, 6, [0, 5, 10, 15, 20]],
    [345, 421, 4, [360, 380, 400, 420]],
    [0, 0.9, 5, [0, 0.2, 0.4, 0.6, 0.8]],
    [3, 3, 5, [3]],
  ])('from %d to %d, about %d', (from, to, count, found) => expect(ticks(from, to, count)).toEqual(found));
});
