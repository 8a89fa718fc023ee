// Whether something takes longer than one likes to wait without a word. Called while a component is set up.

/** `busy` is asked for; each new `beat` (an answer on the way) begins the waiting anew. */
export function slow(busy: () => boolean, beat: () => unknown = () => undefined) {
  let is = $state(false);
  $effect(() => {
    void beat();
    is = false;
    if (!busy()) return;
    const timer = setTimeout(() => { is = true; }, 1500);
    return () => clearTimeout(timer);
  });
  return { get yes() { return is; } };
}
