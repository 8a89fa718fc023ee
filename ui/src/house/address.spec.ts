// A state survives its way through an address, and what comes from outside is taken only when it is sound and not too large.
import { afterEach, describe, expect, it, vi } from 'vitest';
import { LARGEST_STATE, LONGEST_LINK, pack, unpack } from './packing';
import { salvaged, sound } from './sound';
import { COUPON, FIRST, LONGEST_RECIPE, type State } from './state.svelte';

/** Text that does not pack: hexadecimal digits from a plain generator. */
function noise(length: number): string {
  let text = '';
  for (let seed = 1; text.length < length; seed = (seed * 48271) % 2147483647) text += seed.toString(16);
  return text.slice(0, length);
}
/** As many spaces, packed. */
async function spaces(count: number): Promise<string> {
  const out = new Blob([' '.repeat(count)]).stream().pipeThrough(new CompressionStream('deflate-raw'));
  const bytes = new Uint8Array(await new Response(out).arrayBuffer());
  return btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join('')).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}
const named = (name: string): State => ({ ...FIRST, workshop: { metal: [{ id: 'titanium' }], name } });

describe('the state in the address', () => {
  afterEach(() => vi.unstubAllGlobals());
  it('comes back as it went', async () => {
    const state = { ...named('Käthes Bank'), wishes: [{ at: 50, colour: 'lab(36, 6, -44)' }] };
    const packed = await pack(state);
    expect(packed).toMatch(/^[A-Za-z0-9_-]+$/);
    expect(await unpack(packed)).toEqual(state);
  });
  it('comes back when it is large', async () => {
    const state = named(noise(200_000));
    expect(await unpack(await pack(state))).toEqual(state);
  });
  it('is refused with a word when the link is cut off or made by hand', async () => {
    const packed = await pack(FIRST);
    for (const text of ['', 'x', packed.slice(0, -6), `${packed}%%%`, '____']) await expect(unpack(text)).rejects.toThrow(/cut off or broken/);
  });
  it('is not unpacked beyond what a state can be', async () => {
    const zeros = await spaces(20 * LARGEST_STATE);
    expect(zeros.length).toBeLessThan(LONGEST_LINK);
    await expect(unpack(zeros)).rejects.toThrow(/holds more than any state/);
    await expect(unpack('A'.repeat(LONGEST_LINK + 1))).rejects.toThrow(/holds more than any state/);
  });
  it('goes into no address when it is too large for one', async () => {
    await expect(pack(named(noise(2 * LONGEST_LINK)))).rejects.toThrow(/too large for an address/);
    await expect(pack(named(' '.repeat(LARGEST_STATE)))).rejects.toThrow(/too large for an address/);
  });
  it('is not called broken where the browser knows no links', async () => {
    const packed = await pack(FIRST);
    vi.stubGlobal('DecompressionStream', undefined);
    vi.stubGlobal('CompressionStream', class { constructor() { throw new TypeError('no deflate-raw'); } });
    await expect(unpack(packed)).rejects.toThrow(/too old for links/);
    await expect(pack(FIRST)).rejects.toThrow(/too old for links/);
  });
});

const shop = (rows: object) => ({ workshop: { metal: [], ...rows } });
const COATER = { name: 'arc', kind: 'arc', films: ['tin'], thinnest_nm: 10 };

describe('a state from outside', () => {
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
    ['a coater with a film that is nothing', shop({ coater: [{ ...COATER, films: [null] }] })],
    ['a coater with a film without material', shop({ coater: [{ ...COATER, films: [{ composition: 1 }] }] })],
    ['a coater without kind', shop({ coater: [{ ...COATER, kind: undefined }] })],
    ['a coater whose thinnest film is a list', shop({ coater: [{ ...COATER, thinnest_nm: [] }] })],
    ['a bath without electrolyte', shop({ bath: [{ name: 'jar' }] })],
    ['a bath whose percent is an object', shop({ bath: [{ name: 'jar', electrolyte: 'citric-acid', percent: {} }] })],
    ['an anodiser without kind', shop({ anodiser: [{ name: 'supply', max_voltage_v: 3 }] })],
    ['an anodiser whose volts are nothing', shop({ anodiser: [{ name: 'supply', kind: 'regulated', max_voltage_v: null }] })],
    ['an anodiser that is isolated "no"', shop({ anodiser: [{ name: 'supply', kind: 'regulated', isolated: 'no' }] })],
    ['an oven whose heat is a list', shop({ oven: [{ name: 'kiln', max_temperature_c: [650] }] })],
    ['a shop whose name is an object', shop({ name: {} })],
    ['a metal whose texture is a number', { workshop: { metal: [{ id: 'titanium', texture: 7 }] } }],
    ['a film whose thickness is nothing', { finish: { ...COUPON, film: [{ material: 'tin', thickness_nm: null }] } }],
    ['a film of a material that is empty', { finish: { ...COUPON, film: [{ material: {}, thickness_nm: 5 }] } }],
    ['a part whose uses are a number', { part: { metal: 'titanium', use: 7 } }],
    ['a part whose length is a list', { part: { metal: 'titanium', shape: { kind: 'disc', diameter_mm: [] } } }],
    ['something turned that there is not', { turn: { setting: 'colour' } }],
    ['a film turned without its place', { turn: { setting: 'thickness_nm' } }],
    ['more wishes than can be drawn', { wishes: Array.from({ length: 501 }, () => ({ at: 1, colour: 'blue' })) }],
    ['a recipe that is no text', { recipe: 7 }],
    ['a recipe longer than any', { recipe: ' '.repeat(LONGEST_RECIPE + 1) }],
    ['a run without steps', { run: { noted: [] } }],
    ['what was noted is no list', { run: { step: 1, noted: 'all well' } }],
    ['something noted without its time', { run: { step: 1, noted: [{ step: 1, as_planned: true, set: [], seconds: null, words: '' }] } }],
    ['a noted setting without a number', { run: { step: 1, noted: [{ step: 1, at: 't', as_planned: true, set: [{ key: 'voltage_v', value: 'x', planned: 1 }], seconds: null, words: '' }] } }],
  ])('is refused: %s', (_, given) => expect(sound(given)).toBeUndefined());
  it('keeps a run with what was noted', () => {
    const run = { step: 2, noted: [{ step: 1, at: '2025-03-09T14:05:31', as_planned: false, set: [{ key: 'voltage_v', value: 61, planned: 62 }], seconds: 24, words: 'slow' }] };
    expect(sound({ recipe: 'schema = 1', run })).toMatchObject({ recipe: 'schema = 1', run });
  });
  it('keeps every field that the page knows, and none else', () => {
    const workshop = {
      schema: 1, name: 'mine', metal: [{ id: 'steel', texture: '400 grit', film: [{ material: { table: 'own.csv' }, thickness_nm: '1 um', spread: 0.05 }] }],
      bath: [{ name: 'jar', electrolyte: 'citric-acid', percent: 1, temperature_c: '68 F' }],
      anodiser: [{ name: 'supply', kind: 'regulated', isolated: true, max_voltage_v: 30 }], oven: [{ name: 'kiln', max_temperature_c: 650 }],
      coater: [{ ...COATER, films: ['tin', { material: 'tialn', composition: 0.5 }] }],
    };
    const part = { metal: 'titanium', count: '3', use: ['skin'], weighed: { kind: 'wire', weight_g: 2 } };
    expect(sound({ workshop, part, told: 'x', __proto__x: 1 })).toEqual({ ...FIRST, workshop, part });
    expect(Object.keys(sound({ extra: 1 }) ?? {})).toEqual(Object.keys(FIRST));
  });
  it('of which not all can be read keeps the rest', () => {
    expect(salvaged({ pick: 'x', chapter: 4, workshop: { metal: [{ id: 'niobium' }] } })).toEqual({ ...FIRST, chapter: 4, workshop: { metal: [{ id: 'niobium' }] } });
    expect(salvaged('x')).toBeUndefined();
  });
  it('fills what a link of an older page leaves out', () => expect(sound({})).toEqual(FIRST));
});
