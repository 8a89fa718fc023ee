// A clock that counts up, by the time of day: a page that sleeps in a pocket is right when it wakes.

/** `since` is when it was started, ms; `before` what it had counted by then, ms. */
export interface Clock { since: number | null; before: number }

export const STOPPED: Clock = { since: null, before: 0 };
export const started = (clock: Clock, now: number): Clock => (clock.since === null ? { ...clock, since: now } : clock);
export const paused = (clock: Clock, now: number): Clock => ({ since: null, before: countedMs(clock, now) });
const countedMs = (clock: Clock, now: number) => clock.before + (clock.since === null ? 0 : Math.max(0, now - clock.since));
/** s */
export const counted = (clock: Clock, now: number): number => countedMs(clock, now) / 1000;
export const touched = (clock: Clock) => clock.since !== null || clock.before > 0;

/** 0:07, 12:40, 1:05:00. */
export function face(seconds: number): string {
  const s = Math.floor(Math.max(0, seconds));
  const two = (n: number) => String(n).padStart(2, '0');
  const [h, m] = [Math.floor(s / 3600), Math.floor(s / 60) % 60];
  return h > 0 ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
}

/** For reading: 8.5 s, 24 s, 3 min 20 s, 1 h 5 min. */
export function spoken(seconds: number): string {
  if (seconds < 10) return `${Number(seconds.toFixed(1))} s`;
  const s = Math.round(seconds);
  if (s < 100) return `${s} s`;
  const m = Math.floor(s / 60);
  if (m < 60) return s % 60 === 0 ? `${m} min` : `${m} min ${s % 60} s`;
  const rest = Math.round(s / 60) % 60;
  const h = Math.floor(Math.round(s / 60) / 60);
  return rest === 0 ? `${h} h` : `${h} h ${rest} min`;
}

/** A clock that was kept as text, or a stopped one. */
export function clockFrom(text: string | null, of: string): Clock {
  try {
    const kept = JSON.parse(text ?? 'null') as { of?: unknown; since?: unknown; before?: unknown } | null;
    if (kept?.of !== of || typeof kept.before !== 'number') return STOPPED;
    return { since: typeof kept.since === 'number' ? kept.since : null, before: kept.before };
  } catch {
    return STOPPED;
  }
}
