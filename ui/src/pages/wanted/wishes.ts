// Wanted colours along the part, in their order: placing and moving, no formula of colour.
import type { Wish } from '../../house/state.svelte';

export interface Wishes { wishes: Wish[]; pick: number }

const even = (n: number, i: number) => (n === 1 ? 50 : Math.round((100 * i) / (n - 1)));
const areEven = (wishes: Wish[]) => wishes.every((w, i) => w.at === even(wishes.length, i));

/** The picked wish, even when the state comes from a link that points beyond the list. */
export const picked = ({ wishes, pick }: Wishes): number => Math.min(Math.max(Math.round(pick), 0), wishes.length - 1);

/** The picked wish takes this colour; the first colour makes the first wish. */
export function withColour(now: Wishes, colour: string): Wishes {
  if (now.wishes.length === 0) return { wishes: [{ at: even(1, 0), colour }], pick: 0 };
  const pick = picked(now);
  return { wishes: now.wishes.map((w, i) => (i === pick ? { ...w, colour } : w)), pick };
}

/** Another wish behind the picked one, like it, and picked; evenly spaced places stay evenly spaced. */
export function another(now: Wishes): Wishes {
  const pick = picked(now);
  const like = now.wishes[pick];
  if (!like) return now;
  const spaced = areEven(now.wishes);
  const next = now.wishes[pick + 1]?.at ?? 100;
  const wishes = [...now.wishes.slice(0, pick + 1), { colour: like.colour, at: Math.round((like.at + next) / 2) }, ...now.wishes.slice(pick + 1)];
  return { wishes: spaced ? wishes.map((w, i) => ({ ...w, at: even(wishes.length, i) })) : wishes, pick: pick + 1 };
}

export function without(now: Wishes, index: number): Wishes {
  const spaced = areEven(now.wishes);
  const left = now.wishes.filter((_, i) => i !== index);
  const wishes = spaced ? left.map((w, i) => ({ ...w, at: even(left.length, i) })) : left;
  const pick = picked(now);
  return { wishes, pick: Math.max(0, Math.min(index < pick ? pick - 1 : pick, wishes.length - 1)) };
}

/** Two neighbours exchange their colours; the pick follows the one that was moved. */
export function moved(now: Wishes, index: number, by: 1 | -1): Wishes {
  const [a, b] = [now.wishes[index], now.wishes[index + by]];
  if (!a || !b) return now;
  const wishes = now.wishes.map((w, i) => (i === index ? { at: w.at, colour: b.colour } : i === index + by ? { at: w.at, colour: a.colour } : w));
  return { wishes, pick: index + by };
}

/** The wish at another place; the list stays in the order of the places. */
export function placed(now: Wishes, index: number, at: number): Wishes {
  const pick = picked(now);
  const list = now.wishes.map((w, i) => ({ wish: i === index ? { ...w, at } : w, picked: i === pick }));
  list.sort((a, b) => a.wish.at - b.wish.at);
  return { wishes: list.map((x) => x.wish), pick: list.findIndex((x) => x.picked) };
}
