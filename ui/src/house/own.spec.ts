// One's own state is never displaced in silence: by a link, by another tab, by a full store.
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { FIRST, type Former, type State } from './state.svelte';

/** A store of a browser, with little room if it is said so. */
function drawer(room = Infinity) {
  const rows = new Map<string, string>();
  const size = () => [...rows].reduce((sum, [k, v]) => sum + k.length + v.length, 0);
  return {
    rows,
    room,
    getItem: (k: string) => rows.get(k) ?? null,
    setItem(k: string, v: string) {
      const grown = size() - (rows.get(k)?.length ?? -k.length) + v.length;
      if (grown > this.room) throw new DOMException('full', 'QuotaExceededError');
      rows.set(k, v);
    },
    removeItem: (k: string) => rows.delete(k),
  };
}
type Drawer = ReturnType<typeof drawer>;
let browser: Drawer;

/** A tab: modules of its own, and a memory of its own, over the store that all tabs share. */
async function tab() {
  vi.resetModules();
  const memory = drawer();
  const [own, { store }] = [await import('./own'), await import('./state.svelte')];
  const using = <T>(work: () => T): T => {
    vi.stubGlobal('localStorage', browser);
    vi.stubGlobal('sessionStorage', memory);
    return work();
  };
  using(() => store.arrive('shop', own.own()));
  const settle = () => using(() => own.settle(store.now));
  return {
    store,
    get now() { return store.now; },
    change(next: Partial<State>) { store.change(JSON.stringify(next), next); settle(); },
    undo() { store.undo(); settle(); },
    link(state: State) { settle(); own.lend(store.change('link', state)); settle(); },
    using, own,
  };
}
const named = (name: string): State => ({ ...FIRST, workshop: { metal: [{ id: 'titanium' }], name } });
const kept = () => JSON.parse(browser.rows.get('huewright-state') ?? 'null') as State | null;
const beside = () => JSON.parse(browser.rows.get('huewright-former') ?? '[]') as Former[];

beforeEach(() => { browser = drawer(); });

describe('one\u2019s own state', () => {
  it('is written once something is changed, and not before', async () => {
    const one = await tab();
    one.using(() => one.own.settle(one.now));
    expect(kept()).toBeNull();
    one.change(named('mine'));
    expect(kept()?.workshop.name).toBe('mine');
  });
  it('stays while a link is only looked at', async () => {
    const one = await tab();
    one.change(named('mine'));
    one.link(named('theirs'));
    expect(one.store.borrowed).toBe(true);
    expect(kept()?.workshop.name).toBe('mine');
    one.undo();
    expect(one.store.borrowed).toBe(false);
    one.change({ chapter: 3 });
    expect([kept()?.workshop.name, beside().length]).toEqual(['mine', 0]);
  });
  it('is kept beside when a link is changed, and can be taken back', async () => {
    const one = await tab();
    one.change(named('mine'));
    one.link(named('theirs'));
    one.change({ chapter: 3 });
    expect([kept()?.workshop.name, kept()?.chapter]).toEqual(['theirs', 3]);
    expect(beside().map((f) => [f.why, f.state.workshop.name])).toEqual([['link', 'mine']]);
    one.change({ chapter: 4 });
    one.link(named('others'));
    one.change({ chapter: 5 });
    expect(beside().map((f) => f.state.workshop.name)).toEqual(['theirs', 'mine']);
    one.change({ ...(beside()[1]?.state ?? FIRST) });
    expect(kept()?.workshop.name).toBe('mine');
    expect(beside().map((f) => f.state.workshop.name)).toEqual(['theirs']);
  });
  it('is kept beside when another tab writes, of which the last change wins', async () => {
    const one = await tab();
    one.change(named('mine'));
    const two = await tab();
    two.change(named('second'));
    expect(beside()).toEqual([]);
    one.change({ chapter: 2 });
    expect([kept()?.workshop.name, beside().map((f) => [f.why, f.state.workshop.name])]).toEqual(['mine', [['tab', 'second']]]);
    two.change({ chapter: 3 });
    expect([kept()?.workshop.name, beside().map((f) => f.state.chapter)]).toEqual(['second', [2]]);
  });
  it('of the first visit needs no place beside', async () => {
    const one = await tab();
    one.link(named('theirs'));
    expect(one.store.borrowed).toBe(false);
    one.change({ chapter: 3 });
    expect([kept()?.workshop.name, beside()]).toEqual(['theirs', []]);
  });
  it('is not taken for kept where the store is full, which is said once', async () => {
    const one = await tab();
    browser.room = 100;
    one.change(named('mine'));
    expect(one.store.told).toMatch(/does not keep what you do here/);
    one.store.told = '';
    one.change({ chapter: 3 });
    expect([one.store.told, kept()]).toEqual(['', null]);
  });
  it('is not displaced where there is no room beside', async () => {
    const one = await tab();
    one.change(named('mine'));
    browser.room = [...browser.rows].reduce((sum, [k, v]) => sum + k.length + v.length, 0) + 40;
    one.link(named('theirs'));
    one.change({ chapter: 3 });
    expect(kept()?.workshop.name).toBe('mine');
    expect(one.store.told).toMatch(/would take the place of your own shop/);
  });
  it('that cannot be read as a whole is read in part, and that is said', async () => {
    browser.setItem('huewright-state', JSON.stringify({ ...named('mine'), wishes: [null] }));
    const one = await tab();
    expect(one.now).toEqual(named('mine'));
    expect(one.store.told).toMatch(/Not all/);
  });
});
