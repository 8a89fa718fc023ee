// What is asked about a log: the log, the files that it names, and the workshop where its recipe brings none.
import type { Shelf, Workshop } from '../../../house/answers';
import type { State } from '../../../house/state.svelte';
import { bringsWorkshop, lyingBeside, named, owns } from '../../run/request';
import { headOf, recipeOf } from './text';

export interface CorrectRequest { loads: string; workshop?: Workshop; files: Record<string, string> }

/** The demonstration logs of the shelf. */
const EXAMPLE = 'bells/loads.toml';

/** The files at hand for a log: those that were dropped, and for a demonstration those beside it, however many loads were added. */
export function atHand(log: string, files: Record<string, string>, shelf: Shelf | undefined): Record<string, string> {
  const example = shelf?.examples.find((e) => e.name === EXAMPLE);
  return example && headOf(example.text) === headOf(log) ? { ...files, ...lyingBeside(EXAMPLE, shelf) } : files;
}

export function requestFor(log: string, state: State, files: Record<string, string>, shelf: Shelf | undefined): CorrectRequest {
  const hand = atHand(log, files, shelf);
  const recipe = hand[recipeOf(log) ?? ''];
  const own = recipe !== undefined && !bringsWorkshop(recipe) && owns(state.workshop);
  return { loads: log, ...(own ? { workshop: state.workshop } : {}), files: named(hand, [log, own ? JSON.stringify(state.workshop) : '']) };
}
