// What is asked about a wish, without what does not change the answer.
import type { View } from '../../house/state.svelte';
import type { Workshop } from '../../house/answers';

export type Eye = Pick<View, 'light' | 'observer'>;
export interface WaysRequest {
  colour: string;
  workshop: Omit<Workshop, 'name'>;
  view: Eye;
  files: Record<string, string>;
}

/** Only the tables that the rest of the request names. */
export function needed(files: Record<string, string>, ...parts: unknown[]): Record<string, string> {
  const text = JSON.stringify(parts);
  return Object.fromEntries(Object.entries(files).filter(([name]) => text.includes(JSON.stringify(name))));
}

export function requestFor(colour: string, workshop: Workshop, view: View, files: Record<string, string>): WaysRequest {
  const { name: _name, ...shop } = workshop;
  const eye = { light: view.light, observer: view.observer };
  return { colour, workshop: shop, view: eye, files: needed(files, colour, shop, eye) };
}
