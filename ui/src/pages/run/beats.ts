// Which line of a list belongs to now: beats of a fade, colours that are passed. Times are the engine's.
import type { Beat, Lift, Passed, PlanStep, Trace } from '../../house/answers';

/** When each beat falls, s after the timer was started: the part first hangs still. */
export function timed(lift: Lift): (Beat & { at_s: number })[] {
  return lift.beats.map((beat) => ({ ...beat, at_s: (lift.before_s ?? 0) + beat.second }));
}

/** The last of rising times that has come; -1 before the first. */
export function latest(times: number[], now: number): number {
  let [low, high] = [0, times.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? Infinity) <= now) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/** The lines around now: one that is past, what is now, and what comes. */
export function around(length: number, now: number, room: number): { from: number; to: number } {
  const from = Math.max(0, Math.min(now - 1, length - room));
  return { from, to: Math.min(length, from + room) };
}

/** Which passed colour shows now. */
export const showing = (passed: Passed[], now: number) => passed.findIndex((p) => p.from_s <= now && now < p.to_s);

/** The moment of a trace that was reached last. */
export function moment(trace: Trace, now: number) {
  const i = Math.max(0, latest(trace.time_s, now));
  return { wet: trace.wet?.[i], dry: trace.dry?.[i], name: trace.name?.[i], volts: trace.voltage_v?.[i], amperes: trace.current_a?.[i], celsius: trace.temperature_c?.[i] };
}

/** What the timer counts towards, s. */
export const aim = (step: PlanStep): number | null => step.seconds ?? step.lift?.seconds ?? null;

/** A strip in CSS: each colour from its time to the next one's. */
export function strip(times: number[], colours: string[]): string {
  const [from, to] = [times[0] ?? 0, times.at(-1) ?? 1];
  const place = (t: number) => `${((100 * (t - from)) / (to - from || 1)).toFixed(2)}%`;
  return `linear-gradient(to right,${colours.map((c, i) => `${c} ${place(times[i] ?? to)} ${place(times[i + 1] ?? to)}`).join(',')})`;
}
