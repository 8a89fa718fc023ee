// What is turned: choosing and replacing.
import { describe, expect, it } from 'vitest';
import type { Material, Ribbon, Shelf } from '../../house/answers';
import { COUPON, FIRST } from '../../house/state.svelte';
import { groundOf, placeOn, turnedTo, turns } from './turning';

const titanium = { id: 'titanium', anodise: { film: 'titania-anodic', low_v: 0, high_v: 110 }, heat: null } as unknown as Material;
const shelf = { materials: [titanium] } as unknown as Shelf;
const ribbon = { rows: [{ points: [0, 10, 20].map((value) => ({ value, thickness_nm: 4 + 2 * value })) }] } as unknown as Ribbon;
const volts = { ...FIRST, turn: { setting: 'voltage_v' } as const };

describe('what can be turned', () => {
  it('is a thickness for each film, and volts where the metal grows that film alone', () => {
    expect(turns(COUPON, shelf).map((t) => t.turn.setting)).toEqual(['thickness_nm', 'voltage_v']);
    const covered = { ...COUPON, film: [...(COUPON.film ?? []), { material: 'tin', thickness_nm: 20 }] };
    expect(turns(covered, shelf).map((t) => t.turn.setting)).toEqual(['thickness_nm', 'thickness_nm']);
    expect(turns({ ...COUPON, film: [], over: [] }, shelf).map((t) => t.turn.setting)).toEqual(['voltage_v']);
    expect(turns({ ...COUPON, over: [{ material: 'lacquer', thickness_um: 20 }] }, shelf).map((t) => t.turn.setting)).toEqual(['thickness_nm']);
  });
  it('is told apart in words, also where films are of one material', () => {
    const film = { material: 'silica', thickness_nm: 50 };
    const words = (count: number) => turns({ ...COUPON, film: Array.from({ length: count }, () => film) }, shelf).map((t) => t.words);
    expect(words(1)).toEqual(['thickness of silica, nm']);
    expect(words(2)).toEqual(['thickness of the first film, silica, nm', 'thickness of the second film, silica, nm']);
    expect(new Set(words(14)).size).toBe(14);
  });
});

describe('the cursor', () => {
  it('takes the thickness of the point of the strip that it stands on', () => {
    expect(turnedTo(volts, ribbon, 9, shelf).film?.[0]?.thickness_nm).toBe(24);
    expect(placeOn(ribbon, { ...volts, finish: turnedTo(volts, ribbon, 9, shelf) })).toBe(10);
  });
  it('grows the metal\u2019s own film on a bare part', () => {
    const bare = { ...volts, finish: { base: { material: 'titanium' } } };
    expect(turnedTo(bare, ribbon, 20, shelf).film).toEqual([{ material: 'titania-anodic', thickness_nm: 44 }]);
    expect(placeOn(ribbon, bare)).toBeUndefined();
  });
  it('leaves everything else of the film alone, and the strip begins at nothing', () => {
    const state = { ...FIRST, finish: { ...COUPON, film: [{ material: 'titania-anodic', thickness_nm: 48, spread: 0.05 }] } };
    expect(groundOf(state).film).toEqual([{ material: 'titania-anodic', thickness_nm: 0, spread: 0.05 }]);
    expect(turnedTo(state, undefined, 70, shelf).film).toEqual([{ material: 'titania-anodic', thickness_nm: 70, spread: 0.05 }]);
  });
});
