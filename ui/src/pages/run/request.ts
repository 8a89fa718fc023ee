// What is asked of a plan: the recipe, and of the workshop, the part and the dropped files what it does not bring itself.
import type { Shelf, Workshop } from '../../house/answers';
import { LONGEST_RECIPE, type Part, type State, type View } from '../../house/state.svelte';

export const LONGEST = LONGEST_RECIPE;

export interface PlanRequest {
  recipe: string;
  workshop?: Workshop;
  part?: Part;
  view: Pick<View, 'light' | 'observer'>;
  files: Record<string, string>;
}

/** The lines before the first table, and the tables' own lines. */
const TABLE = /^\s*\[/m;
const head = (recipe: string) => recipe.slice(0, recipe.search(TABLE) < 0 ? recipe.length : recipe.search(TABLE));
export const bringsWorkshop = (recipe: string) => /^\s*workshop\s*=/m.test(head(recipe)) || /^\s*\[\[\s*(metal|bath|anodiser|oven|coater)\s*\]\]/m.test(recipe);
export const bringsPart = (recipe: string) => /^\s*part\s*=/m.test(head(recipe)) || /^\s*\[\s*part[\s.\]]/m.test(recipe);
/** A recipe among dropped files: it has steps. */
export const isRecipe = (text: string) => /^\s*\[\[\s*step\s*\]\]/m.test(text);

/** What the recipe calls itself, where that is plain to see. */
export const recipeName = (recipe: string): string | undefined => /^\s*name\s*=\s*"([^"]+)"/m.exec(head(recipe))?.[1];

/** Recipes among the shelf's demonstration files. */
export const demos = (shelf: Shelf | undefined) => (shelf?.examples ?? []).filter((e) => e.name.endsWith('.toml') && (e.name.includes('recipe') || e.name.startsWith('plans/')));

/** The files that lie beside a demonstration recipe, by the names that it calls them. */
function beside(recipe: string, shelf: Shelf | undefined): Record<string, string> {
  const demo = demos(shelf).find((e) => e.text === recipe);
  return demo ? lyingBeside(demo.name, shelf) : {};
}

/** The same for the demonstration file of that name. */
export function lyingBeside(name: string, shelf: Shelf | undefined): Record<string, string> {
  const folder = name.slice(0, name.lastIndexOf('/') + 1).split('/');
  /** As a path that starts in that folder. */
  const seen = (path: string) => {
    const to = path.split('/');
    let same = 0;
    while (same < folder.length - 1 && same < to.length - 1 && folder[same] === to[same]) same += 1;
    return [...Array.from({ length: folder.length - 1 - same }, () => '..'), ...to.slice(same)].join('/');
  };
  return Object.fromEntries((shelf?.examples ?? []).map((e) => [seen(e.name), e.text]));
}

/** Only the files that the request names, or that those name. */
export function named(files: Record<string, string>, texts: string[]): Record<string, string> {
  const found: Record<string, string> = {};
  const open = [...texts];
  for (let text = open.pop(); text !== undefined; text = open.pop()) {
    for (const [name, content] of Object.entries(files)) {
      if (name in found || !(text.includes(`"${name}"`) || text.includes(`'${name}'`))) continue;
      found[name] = content;
      open.push(content);
    }
  }
  return found;
}

export const owns = (shop: Workshop) => [shop.metal, shop.bath, shop.anodiser, shop.oven, shop.coater].some((list) => (list ?? []).length > 0);

export function requestFor(recipe: string, state: State, files: Record<string, string>, shelf: Shelf | undefined): PlanRequest {
  const view = { light: state.view.light, observer: state.view.observer };
  const request: Omit<PlanRequest, 'files'> = { recipe, view };
  if (!bringsWorkshop(recipe) && owns(state.workshop)) request.workshop = state.workshop;
  if (!bringsPart(recipe) && state.part) request.part = state.part;
  const { recipe: _text, ...rest } = request;
  return { ...request, files: named({ ...files, ...beside(recipe, shelf) }, [recipe, JSON.stringify(rest)]) };
}
