// Undo: a drag is one change, two kinds are two, and a new change forgets what was undone.
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { FIRST, store } from './state.svelte';

describe('undo', () => {
  beforeEach(() => {
    while (store.canUndo) store.undo();
    store.arrive('turn', FIRST);
  });
  it('takes a whole drag back at once', () => {
    for (const tilt_deg of [1, 2, 3]) store.change('tilt', { view: { ...store.now.view, tilt_deg } });
    expect(store.now.view.tilt_deg).toBe(3);
    store.undo();
    expect(store.now.view.tilt_deg).toBe(0);
    expect(store.canUndo).toBe(false);
    store.redo();
    expect(store.now.view.tilt_deg).toBe(3);
  });
  it('keeps two kinds apart, and two drags with a pause between', () => {
    vi.useFakeTimers({ toFake: ['performance'] });
    store.change('tilt', { view: { ...store.now.view, tilt_deg: 10 } });
    store.change('light', { view: { ...store.now.view, light: 'A' } });
    store.undo();
    expect(store.now.view).toMatchObject({ light: 'D65', tilt_deg: 10 });
    store.change('tilt', { view: { ...store.now.view, tilt_deg: 20 } });
    vi.advanceTimersByTime(5_000);
    store.change('tilt', { view: { ...store.now.view, tilt_deg: 30 } });
    store.undo();
    expect(store.now.view.tilt_deg).toBe(20);
    vi.useRealTimers();
  });
  it('forgets what was undone once something else is changed', () => {
    store.change('chapter', { chapter: 2 });
    store.undo();
    expect(store.canRedo).toBe(true);
    store.change('chapter', { chapter: 3 });
    expect(store.canRedo).toBe(false);
    expect(store.now.chapter).toBe(3);
  });
});
