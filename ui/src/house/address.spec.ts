// A state survives its way through an address, and what comes from outside is taken only when it is sound.
import { describe, expect, it } from 'vitest';
import { pack, sound, unpack } from './address';
import { COUPON, FIRST } from './state.svelte';

describe('the state in the address', () => {
  it('comes back as it went', async () => {
    const state = { ...FIRST, wishes: [{ at: 50, colour: 'lab(36, 6, -44)' }], workshop: { metal: [{ id: 'titanium' }], name: 'Käthes Bank' } };
    const packed = await pack(state);
    expect(packed).toMatch(/^[A-Za-z0-9_-]+$/);
    expect(await unpack(packed)).toEqual(state);
  });
  it('is nothing when the link is cut off or made by hand', async () => {
    const packed = await pack(FIRST);
    for (const text of ['', 'x', packed.slice(0, -6), `${packed}%%%`, '____']) expect(await unpack(text)).toBeUndefined();
  });
  it.each([
    ['no object', 7],
    ['null', null],
    ['a metal that is nothing', { workshop: { metal: [null] } }],
    ['a coater without films', { workshop: { metal: [], coater: [{ name: 'arc' }] } }],
    ['a film that is nothing', { finish: { ...COUPON, film: [null] } }],
    ['a part that is a word', { part: 'ring' }],
    ['a workshop without metals', { workshop: {} }],
    ['baths that are no list', { workshop: { metal: [], bath: 'jar' } }],
    ['a finish without base', { finish: {} }],
    ['films that are no list', { finish: { ...COUPON, film: 'oxide' } }],
    ['a wish without colour', { wishes: [{ at: 1 }] }],
    ['a tilt that is no number', { view: { light: 'D65', observer: '2', tilt_deg: 'steep' } }],
    ['a light that is no word', { view: { light: 65, observer: '2', tilt_deg: 0 } }],
    ['a recipe that is no text', { recipe: 7 }],
    ['a run without steps', { run: { noted: [] } }],
    ['what was noted is no list', { run: { step: 1, noted: 'all well' } }],
    ['something noted without its time', { run: { step: 1, noted: [{ step: 1, as_planned: true, set: [], seconds: null, words: '' }] } }],
    ['a noted setting without a number', { run: { step: 1, noted: [{ step: 1, at: 't', as_planned: true, set: [{ key: 'voltage_v', value: 'x', planned: 1 }], seconds: null, words: '' }] } }],
  ])('is refused: %s', (_, given) => expect(sound(given)).toBeUndefined());
  it('keeps a run with what was noted', () => {
    const run = { step: 2, noted: [{ step: 1, at: '2025-03-09T14:05:31', as_planned: false, set: [{ key: 'voltage_v', value: 61, planned: 62 }], seconds: 24, words: 'slow' }] };
    expect(sound({ recipe: 'schema = 1', run })).toMatchObject({ recipe: 'schema = 1', run });
  });
  it('fills what a link of an older page leaves out', () => expect(sound({})).toEqual(FIRST));
});
