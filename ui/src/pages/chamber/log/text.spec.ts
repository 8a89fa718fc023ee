import { describe, expect, it } from 'vitest';
import { filmsOf, hasLoads, headOf, headText, labOf, nameOf, recipeOf, withLoad } from './text';

const HEAD = headText({ name: 'my "blue" domes', recipe: 'order.toml', light: 'D65', observer: '10', wanted: '23 1,8 -35.2', limits: { l: '2,5', a: '', b: '[-2, 1]' } });

describe('the log as a file', () => {
  it('begins with what all loads share', () => {
    expect(HEAD).toContain('name = "my \\"blue\\" domes"\nrecipe = "order.toml"\nlight = "D65"\nobserver = 10\n\n[wanted]\nlab = [23, 1.8, -35.2]\n');
    expect(hasLoads(HEAD)).toBe(false);
    expect(recipeOf(HEAD)).toBe('order.toml');
  });
  it('takes one load more, and of it only what changed', () => {
    const log = withLoad(HEAD, { name: '', date: '2026-11-09', changed: [['pressure_pa', '3 mTorr'], ['ampere_hours', 1450]], seconds: [281], note: 'a "new" bottle', witnesses: [{ at: 'middle', lab: '23.1, 1.2, -35.1' }] });
    expect(log.slice(HEAD.length)).toBe('\n[[load]]\ndate = "2026-11-09"\npressure_pa = "3 mTorr"\nampere_hours = 1450\nseconds = 281\nnote = "a \\"new\\" bottle"\n[[load.witness]]\nat = "middle"\nlab = [23.1, 1.2, -35.1]\n');
    expect(headOf(log).trimEnd()).toBe(HEAD.trimEnd());
    expect(withLoad(log, { name: '', date: '', changed: [], seconds: [3750, '4 min'], note: '', witnesses: [] })).toMatch(/\[\[load\]\]\nseconds = \[3750, "4 min"\]\n$/);
  });
  it.each([
    ['23.1 1.2 -35.1', [23.1, 1.2, -35.1]],
    ['23,1 1,2 \u221235,1', [23.1, 1.2, -35.1]],
    ['23.1, 1.2, -35.1', [23.1, 1.2, -35.1]],
    ['23.1; 1.2; -35.1', [23.1, 1.2, -35.1]],
    ['23.1,1.2,-35.1', [23.1, 1.2, -35.1]],
  ])('reads %s', (typed, lab) => expect(labOf(typed, 'middle')).toEqual(lab));
  it.each(['', '23 1', '23 1 x', '1 2 3 4'])('refuses "%s"', (typed) => expect(() => labOf(typed, 'middle')).toThrow(/three numbers/));
  it('sees names and films where they are plain', () => {
    expect(nameOf('name = "a"\n[wanted]\nrecipe = "b"\n')).toBe('a');
    expect(recipeOf('name = "a"\n[wanted]\nrecipe = "b"\n')).toBeUndefined();
    expect(filmsOf('[[step]]\nroute = "sputter"\n[[step]]\nroute = "heat"\n[[step]]\nroute = "arc"\n')).toBe(2);
  });
});
