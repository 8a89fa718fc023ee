// One turn of the table, moment by moment: played, stepped, or dragged. It never starts by itself.
import { MediaQuery } from 'svelte/reactivity';

/** What one turn takes on the screen, ms. */
const TURN_MS = 12_000;

/** `length` moments make a turn. Called while a component is set up. */
export function spin(length: () => number) {
  let at = $state(0);
  let playing = $state(false);
  const still = new MediaQuery('prefers-reduced-motion: reduce', false);
  const within = (i: number) => ((Math.round(i) % length()) + length()) % length();

  $effect(() => {
    if (!playing || still.current) return;
    let last = performance.now();
    let exact = at;
    let next = requestAnimationFrame(function frame(now) {
      exact += ((now - last) / TURN_MS) * length();
      last = now;
      at = within(Math.floor(exact));
      next = requestAnimationFrame(frame);
    });
    return () => cancelAnimationFrame(next);
  });

  return {
    get at() { return Math.min(at, length() - 1); },
    get playing() { return playing && !still.current; },
    /** Whoever asked for less motion steps by hand. */
    get mayPlay() { return !still.current; },
    toggle() { playing = !playing; },
    set(i: number) { playing = false; at = within(i); },
    step(by: number) { playing = false; at = within(at + by); },
  };
}
