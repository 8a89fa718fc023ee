// The timer of one step: it outlives a reload, and keeps the screen awake while it runs.
import { drawn, empty, put } from '../../house/drawer';
import { clockFrom, counted, paused, started, STOPPED, touched, type Clock } from './clock';

const PLACE = 'huewright-timer';
const TICK_MS = 100;

export class Watch {
  private clock: Clock = $state.raw(STOPPED);
  private now = $state(0);
  private ticking: ReturnType<typeof setInterval> | undefined;
  private lamp: WakeLockSentinel | undefined;

  /** `of`: which step of which recipe is timed. */
  constructor(private readonly of: string) {
    this.clock = clockFrom(drawn(PLACE), of);
    this.now = Date.now();
    if (this.runs) this.tick();
  }

  /** s */
  get seconds() { return counted(this.clock, this.now); }
  get runs() { return this.clock.since !== null; }
  get touched() { return touched(this.clock); }

  start() {
    this.now = Date.now();
    this.set(started(this.clock, this.now));
    this.tick();
  }

  pause() {
    this.now = Date.now();
    this.set(paused(this.clock, this.now));
    this.rest();
  }

  reset() {
    this.clock = STOPPED;
    empty(PLACE);
    this.rest();
  }

  /** The step is left: what was counted stays kept. */
  leave() { this.rest(); }

  private set(clock: Clock) {
    this.clock = clock;
    put(PLACE, JSON.stringify({ of: this.of, ...clock }));
  }

  private tick() {
    clearInterval(this.ticking);
    this.ticking = setInterval(() => { this.now = Date.now(); }, TICK_MS);
    void this.wake();
  }

  private rest() {
    clearInterval(this.ticking);
    this.ticking = undefined;
    void this.lamp?.release().catch(() => undefined);
    this.lamp = undefined;
  }

  /** A screen that goes dark in the middle of a fade spoils it. Where the browser cannot, nothing is lost. */
  async wake() {
    if (!this.runs || document.hidden) return;
    try {
      this.lamp = await navigator.wakeLock?.request('screen');
    } catch {
      this.lamp = undefined;
    }
  }
}
