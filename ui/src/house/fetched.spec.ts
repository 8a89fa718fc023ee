// A shared module is fetched once; where that fails, nobody waits for ever.
import { describe, expect, it } from 'vitest';
import { Fetched } from './fetched';

describe('a module that is shared', () => {
  const MODULE = {} as WebAssembly.Module;
  it('is fetched by the first, and handed to the others', async () => {
    const shared = new Fetched('full.wasm');
    expect(await shared.give()).toBe('full.wasm');
    const [second, third] = [shared.give(), shared.give()];
    shared.got(MODULE);
    expect([await second, await third]).toEqual([MODULE, MODULE]);
  });
  it('is tried by the others where the first could not', async () => {
    const shared = new Fetched('full.wasm');
    await shared.give();
    const second = shared.give();
    shared.lost();
    expect(await second).toBe('full.wasm');
  });
});
