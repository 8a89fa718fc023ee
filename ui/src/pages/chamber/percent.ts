// A share as whole per cent, ties to the even one: as the engine writes it in its sentences.

export function percent(share: number): string {
  const value = 100 * share;
  const whole = Math.floor(value);
  return `${value - whole === 0.5 ? whole + (whole % 2) : Math.round(value)}\u202f%`;
}
