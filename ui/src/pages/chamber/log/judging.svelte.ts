// The question about the log, outside the page: it is asked once, and answered while another page is open.
import type { Correction } from '../../../house/chamber';
import { ask, Overtaken, stop } from '../../../house/engine';
import type { CorrectRequest } from './request';

class Judging {
  told: Correction | undefined = $state.raw(undefined);
  error: unknown = $state.raw(undefined);
  busy = $state(false);
  stopped = $state(false);
  private text = '';
  private kept = new Map<string, Correction>();

  /** Asks, unless this was asked already. */
  want(request: CorrectRequest) {
    const text = JSON.stringify(request);
    if (text === this.text) return;
    if (this.busy) stop('correct');
    this.text = text;
    this.stopped = false;
    this.error = undefined;
    const before = this.kept.get(text);
    if (before) {
      this.told = before;
      this.busy = false;
    } else {
      this.told = undefined;
      void this.start(request, text);
    }
  }

  /** Whether a log is sound, before it is taken; its answer is then there at once. */
  async check(request: CorrectRequest): Promise<void> {
    const told = await ask<Correction>('correct', request, { long: true, kind: 'correct-check' });
    this.keep(JSON.stringify(request), told);
  }

  again(request: CorrectRequest) {
    this.text = '';
    this.want(request);
  }

  halt() {
    if (!this.busy) return;
    stop('correct');
    this.busy = false;
    this.stopped = true;
  }

  clear() {
    if (this.busy) stop('correct');
    this.text = '';
    this.busy = false;
    this.stopped = false;
    this.told = undefined;
    this.error = undefined;
  }

  private keep(text: string, told: Correction) {
    if (this.kept.size > 8) this.kept.clear();
    this.kept.set(text, told);
  }

  private async start(request: CorrectRequest, text: string) {
    this.busy = true;
    try {
      const told = await ask<Correction>('correct', request, { long: true, kind: 'correct' });
      this.keep(text, told);
      if (text !== this.text) return;
      this.told = told;
    } catch (error) {
      if (text !== this.text) return;
      this.told = undefined;
      if (error instanceof Overtaken) this.stopped = true;
      else this.error = error;
    }
    this.busy = false;
  }
}

export const judging = new Judging();
