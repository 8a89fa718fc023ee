// The ribbon of a way's last step: asked when it is looked at, and once.
import type { Match, Ribbon, Way } from '../../house/answers';
import { ask, stop } from '../../house/engine';
import type { WaysRequest } from './request';

const MOST_KEPT = 60;
const kept = new Map<string, Ribbon | null>();

/** The question; `null` where nothing is set. */
function questionFor(way: Way, target: Match['target'], request: WaysRequest) {
  const step = way.steps.at(-1);
  if (!way.finish || !step) return null;
  const { view, files } = request;
  const inVolts = way.windows.find((w) => w.step === way.steps.length && w.setting === 'voltage_v');
  const inNm = way.windows.find((w) => w.step === way.steps.length && w.setting === 'thickness_nm');
  const span = step.route === 'anodise' ? inVolts : inNm;
  const window = span ? [span.low, span.high] : null;
  const asked = { start: way.start, finish: way.finish, step, wanted: target.srgb, window, title: way.title, view, files };
  const text = JSON.stringify(asked);
  return { asked, text, kind: `way-ribbon ${text}` };
}

export async function ribbonOf(way: Way, target: Match['target'], request: WaysRequest): Promise<Ribbon | null> {
  const question = questionFor(way, target, request);
  if (!question) return null;
  const { asked, text, kind } = question;
  const before = kept.get(text);
  if (before !== undefined) return before;
  const answer = await ask<Ribbon | null>('way-ribbon', asked, { kind });
  kept.set(text, answer);
  const oldest = kept.keys().next().value;
  if (kept.size > MOST_KEPT && oldest !== undefined) kept.delete(oldest);
  return answer;
}

/** At a person's word. */
export function stopRibbon(way: Way, target: Match['target'], request: WaysRequest) {
  const question = questionFor(way, target, request);
  if (question) stop(question.kind);
}

/** The thicknesses over which a ribbon runs, nm, whatever its own setting is. */
export function thicknesses(ribbon: Ribbon): { from: number; to: number } {
  const points = ribbon.rows[0]?.points ?? [];
  return { from: Math.floor(points[0]?.thickness_nm ?? 0), to: Math.ceil(points.at(-1)?.thickness_nm ?? 250) };
}
