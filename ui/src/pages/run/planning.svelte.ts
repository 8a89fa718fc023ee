// The question of the plan, outside the page: it is asked once, and answered while another page is open.
import type { Plan } from '../../house/answers';
import { ask, Overtaken, stop } from '../../house/engine';
import type { PlanRequest } from './request';

class Planning {
  plan: Plan | undefined = $state.raw(undefined);
  error: unknown = $state.raw(undefined);
  busy = $state(false);
  stopped = $state(false);
  /** Steps whose cautions were read. */
  read: number[] = $state.raw([]);
  private text = '';

  /** Asks, unless this was asked already. */
  want(request: PlanRequest) {
    const text = JSON.stringify(request);
    if (text === this.text) return;
    this.cease();
    this.text = text;
    this.stopped = false;
    void this.start(request, text);
  }

  again(request: PlanRequest) {
    this.text = '';
    this.want(request);
  }

  /** Stops it at a person's word. */
  halt() {
    if (!this.busy) return;
    this.cease();
    this.stopped = true;
  }

  /** No recipe is run any more. */
  clear() {
    this.cease();
    this.stopped = false;
  }

  private cease() {
    if (this.busy) stop('plan');
    this.text = '';
    this.busy = false;
    this.plan = undefined;
    this.error = undefined;
    this.read = [];
  }

  private async start(request: PlanRequest, text: string) {
    this.busy = true;
    try {
      const plan = await ask<Plan>('plan', request, { long: true, kind: 'plan' });
      if (text !== this.text) return;
      this.plan = plan;
    } catch (error) {
      if (text !== this.text) return;
      if (error instanceof Overtaken) this.stopped = true;
      else this.error = error;
    }
    this.busy = false;
  }
}

export const planning = new Planning();
