// What was really done: a row for each step, and the file that keeps them (our own record, TOML).
import type { PlanStep } from '../../house/answers';
import type { Noted } from '../../house/state.svelte';
import { decimal as number, quoted as text } from '../../house/toml';

/** 2025-03-09T14:05:31, by the clock on the wall. */
export function wallTime(now: Date): string {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}T${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
}

/** 14:05 */
export const timeOfDay = (noted: Noted) => noted.at.slice(11, 16);

export function asPlanned(step: PlanStep, seconds: number | null, now: Date): Noted {
  return { step: step.number, at: wallTime(now), as_planned: true, set: step.set.map((s) => ({ key: s.key, value: s.value, planned: s.value })), seconds, words: '' };
}

/** What was typed into a field: a number, or words that say why it is none. */
export function numberOf(text: string, what: string): number {
  const value = Number(text.trim().replace(',', '.'));
  if (text.trim() === '' || !Number.isFinite(value)) throw new Error(`${what}: "${text}" is no number; write digits only, such as 61.5`);
  return value;
}

/** The last word on a step counts. */
export const withNoted = (all: Noted[], one: Noted): Noted[] => [...all.filter((n) => n.step !== one.step), one].toSorted((a, b) => a.step - b.step);

/** The record as a file. */
export function record(recipe: string, steps: Pick<PlanStep, 'number' | 'title'>[], noted: Noted[]): string {
  const lines = ['# What was really done in a recipe, as it was noted beside the bath.', 'schema = 1', `recipe = ${text(recipe)}`];
  for (const done of noted) {
    const title = steps.find((s) => s.number === done.step)?.title;
    lines.push('', '[[done]]', `step = ${done.step}`);
    if (title !== undefined) lines.push(`title = ${text(title)}`);
    lines.push(`at = ${text(done.at)}`, `as_planned = ${done.as_planned}`);
    if (done.seconds !== null) lines.push(`seconds = ${number(done.seconds)}`);
    if (done.words !== '') lines.push(`words = ${text(done.words)}`);
    for (const set of done.set) lines.push('', '[[done.set]]', `key = ${text(set.key)}`, `value = ${number(set.value)}`, `planned = ${number(set.planned)}`);
  }
  return `${lines.join('\n')}\n`;
}
