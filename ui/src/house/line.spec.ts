// A line of questions: a long one that nobody waits for is ended, a short one is left to end by itself.
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Line, Overtaken, PATIENCE_MS, type Hand } from './line';
import type { Asked, Told } from './worker';

const MODULE = {} as WebAssembly.Module;
class Fake {
  asked: Asked[] = [];
  opened: unknown;
  ended = false;
  private hear: ((event: { data: Told }) => void) | undefined;
  addEventListener(type: string, hear: (event: { data: Told }) => void) { if (type === 'message') this.hear = hear; }
  postMessage(message: Asked | { open: unknown }) {
    if ('open' in message) {
      this.opened = message.open;
      this.hear?.({ data: { ready: MODULE } });
    } else this.asked.push(message);
  }
  terminate() { this.ended = true; }
  answer(text: string) { this.hear?.({ data: { id: this.asked.at(-1)?.id ?? 0, answer: text } }); }
}

describe('a line', () => {
  let hands: Fake[];
  let line: Line;
  let told: string[];
  let count = 0;
  const newest = () => hands.at(-1) as Fake;
  const ask = (name: string, kind: string) => {
    count += 1;
    line.ask({ asked: { id: count, question: name, request: '{}' }, settle: (text) => told.push(`${name}: ${text}`), refuse: (e) => told.push(`${name}: ${e instanceof Overtaken ? 'overtaken' : e.message}`), progress: undefined, kind });
  };
  beforeEach(async () => {
    vi.useFakeTimers();
    hands = [];
    told = [];
    line = new Line(() => { const hand = new Fake(); hands.push(hand); return hand as unknown as Hand; }, { give: () => Promise.resolve('engine.wasm'), got() {}, lost() {} });
    line.start();
    await Promise.resolve();
  });
  afterEach(() => { vi.useRealTimers(); });

  it('ends a question that has run long when a newer one of its kind comes, and asks that one', () => {
    ask('old', 'strip');
    vi.advanceTimersByTime(PATIENCE_MS + 1);
    expect(newest().ended).toBe(false);
    ask('new', 'strip');
    expect(hands.map((h) => h.ended)).toEqual([true, false]);
    expect(newest().opened).toBe(MODULE);
    expect(newest().asked.map((a) => a.question)).toEqual(['new']);
    newest().answer('done');
    expect(told).toEqual(['old: overtaken', 'new: done']);
  });
  it('ends one that was overtaken early once it has run long', () => {
    ask('old', 'strip');
    ask('newer', 'strip');
    ask('newest', 'strip');
    vi.advanceTimersByTime(PATIENCE_MS - 1);
    expect(hands.length).toBe(1);
    vi.advanceTimersByTime(1);
    expect(newest().asked.map((a) => a.question)).toEqual(['newest']);
    expect(told).toEqual(['newer: overtaken', 'old: overtaken']);
  });
  it('leaves a short one to end, which is still shown, and gives the next its own time', () => {
    ask('old', 'strip');
    ask('new', 'strip');
    newest().answer('done');
    vi.advanceTimersByTime(10 * PATIENCE_MS);
    expect(hands.length).toBe(1);
    expect(told).toEqual(['old: done']);
  });
  it('lets a question of another kind wait', () => {
    ask('old', 'look');
    vi.advanceTimersByTime(10 * PATIENCE_MS);
    ask('other', 'quantity');
    vi.advanceTimersByTime(10 * PATIENCE_MS);
    expect([hands.length, told]).toEqual([1, []]);
  });
  it('stops at a word, and ends what is left behind once it runs long', () => {
    ask('a', 'strip');
    line.stop('strip');
    expect([newest().ended, told]).toEqual([true, ['a: overtaken']]);
    ask('b', 'look');
    line.leave('look');
    expect(newest().ended).toBe(false);
    vi.advanceTimersByTime(PATIENCE_MS);
    expect([newest().ended, told]).toEqual([true, ['a: overtaken', 'b: overtaken']]);
  });
});
