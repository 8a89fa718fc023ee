// A fade as the strip that the other pages draw.
import type { Along, Band, Plan, PlanArea, Ribbon } from '../../house/answers';

/** Colours by their words, in order. */
export function bands(points: { value: number; name: string }[]): Band[] {
  const found: Band[] = [];
  for (const [i, p] of points.entries()) {
    const last = found.at(-1);
    const next = points[i + 1]?.value ?? p.value;
    if (last?.name === p.name) last.to = next;
    else found.push({ name: p.name, from: p.value, to: next });
  }
  return found;
}

export function fadeOf(along: Along[], title: string): Ribbon {
  const points = along.map(({ at, ...rest }) => ({ ...rest, value: at }));
  return { setting: 'at', unit: '% of the way', title, rows: [{ tilt_deg: 0, points, bands: bands(points) }], notes: [], cautions: [] };
}

/** The wanted colours that stand along a fade. */
export const wantedAlong = (along: Along[]) => along.flatMap((a) => (a.wanted ? [{ ...a, wanted: a.wanted }] : []));

/** What an area is called; one area alone is the whole part. A step that reaches all areas names them in their order. */
export function areaName(plan: Pick<Plan, 'areas' | 'steps'>, area: PlanArea): string {
  const i = plan.areas.indexOf(area);
  const name = area.area ?? plan.steps.find((s) => s.areas.length === plan.areas.length)?.areas[i];
  return name === 'whole' || (name === undefined && plan.areas.length === 1) ? 'the whole part' : (name ?? `area ${i + 1}`);
}
