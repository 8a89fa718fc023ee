// To another page, with the focus at its beginning.
import { go } from '../../house/address';
import type { Finish } from '../../house/answers';
import { store, type PageName, type Turn } from '../../house/state.svelte';

export function leave(page: PageName) {
  go(page);
  document.querySelector<HTMLElement>('main')?.focus();
}

/** Puts a finish on the page where it can be turned; the thickness of one film runs from `from` to `to` nm. */
export function turnIt(finish: Finish, film: number, from: number, to: number) {
  const turn: Turn = { setting: 'thickness_nm', film };
  store.change('turn-it', { finish, turn, from, to, chapter: 5 });
  leave('turn');
}

/** Puts a recipe on the page where it is run; what was noted of another one stays a step of undo away. */
export function runIt(recipe: string) {
  store.change('run-it', { recipe, run: { step: 0, noted: [] } });
  leave('run');
}
