// A long list drawn a few rows a frame, so that a finger never waits for all of it. Called while a component is set up.

export function gradual(length: () => number, atOnce: number) {
  let count = $state(atOnce);
  $effect(() => {
    if (count >= length()) return;
    const next = requestAnimationFrame(() => { count += atOnce; });
    return () => cancelAnimationFrame(next);
  });
  return {
    /** How many rows may be drawn. */
    get count() { return count; },
    get done() { return count >= length(); },
  };
}
