// The long question, outside the page: it goes on while another page is open, and is not asked twice.
import type { Match } from '../../house/answers';
import { ask, Overtaken, stop } from '../../house/engine';
import type { WaysRequest } from './request';

/** Answers that are kept: undo and another wish come back at once. */
const MOST_KEPT = 8;

class Asking {
  found: Match | undefined = $state.raw(undefined);
  error: unknown = $state.raw(undefined);
  busy = $state(false);
  stopped = $state(false);
  done = $state(0);
  of = $state(0);
  took_s = $state(0);
  private kept = new Map<string, { found: Match; took_s: number }>();
  private text = '';
  private run = 0;

  /** Asks, unless this was asked already. */
  want(request: WaysRequest) {
    const text = JSON.stringify(request);
    if (text === this.text) return;
    this.cease();
    this.text = text;
    this.stopped = false;
    const before = this.kept.get(text);
    if (before) {
      this.found = before.found;
      this.took_s = before.took_s;
    } else void this.start(request);
  }

  again(request: WaysRequest) {
    this.text = '';
    this.want(request);
  }

  /** Stops the search at a person's word. */
  halt() {
    if (!this.busy) return;
    this.cease();
    this.stopped = true;
  }

  private cease() {
    this.run += 1;
    if (this.busy) stop('match');
    this.busy = false;
    this.found = undefined;
    this.error = undefined;
  }

  private async start(request: WaysRequest) {
    const mine = this.run;
    const text = this.text;
    const from = performance.now();
    this.busy = true;
    this.done = 0;
    this.of = 0;
    try {
      const progress = (done: number, of: number) => {
        if (mine !== this.run) return;
        this.done = done;
        this.of = of;
      };
      const found = await ask<Match>('match', { ...request, why: true, picture: true }, { long: true, kind: 'match', progress });
      const took_s = (performance.now() - from) / 1000;
      this.kept.set(text, { found, took_s });
      const oldest = this.kept.keys().next().value;
      if (this.kept.size > MOST_KEPT && oldest !== undefined) this.kept.delete(oldest);
      if (mine !== this.run) return;
      this.found = found;
      this.took_s = took_s;
    } catch (error) {
      if (mine !== this.run) return;
      if (!(error instanceof Overtaken)) this.error = error;
      else this.stopped = true;
    }
    this.busy = false;
  }
}

export const asking = new Asking();
