// Where an axis bears numbers: a layout of what the engine gave, no new number.

/** Round values from `from` to `to`, about `count` of them. */
export function ticks(from: number, to: number, count: number): number[] {
  const span = to - from;
  if (!(span > 0)) return [from];
  const rough = span / Math.max(1, count);
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = ten * ([1, 2, 5, 10].find((s) => s * ten >= rough) ?? 10);
  const first = Math.ceil(from / step - 1e-9);
  return Array.from({ length: Math.floor(to / step + 1e-9) - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(12)));
}
