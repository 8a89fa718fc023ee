// What a recipe brings itself is not sent along; what it names is.
import { describe, expect, it } from 'vitest';
import type { Shelf } from '../../house/answers';
import { FIRST } from '../../house/state.svelte';
import { bringsPart, bringsWorkshop, demos, isRecipe, requestFor } from './request';

const shop = { metal: [{ id: 'titanium' }] };
const part = { metal: 'titanium', shape: { kind: 'sphere', diameter_mm: 10 } };
const state = { ...FIRST, workshop: shop, part };
const BARE = 'schema = 1\n[start.base]\nmaterial = "titanium"\n[[step]]\nroute = "anodise"\n';

describe('what a recipe brings', () => {
  it.each([
    ['a path', 'workshop = "mine.toml"\n[[step]]\n', true],
    ['tables of its own', '[[bath]]\nname = "jar"\n[[step]]\nroute = "anodise"\n', true],
    ['a word inside a step', '[[step]]\nworkshop = "no"\n', false],
    ['nothing', BARE, false],
    ['a comment', '# workshop = "x"\n[[step]]\n', false],
  ])('a workshop: %s', (_, text, is) => expect(bringsWorkshop(text)).toBe(is));
  it.each([
    ['a path', 'part = "dome.toml"\n', true],
    ['a table', '[part]\nmetal = "titanium"\n', true],
    ['a table below it', '[part.shape]\nkind = "dome"\n', true],
    ['another table', '[partial]\n', false],
    ['nothing', BARE, false],
  ])('a part: %s', (_, text, is) => expect(bringsPart(text)).toBe(is));
  it('has steps', () => {
    expect(isRecipe(BARE)).toBe(true);
    expect(isRecipe('[[metal]]\nid = "titanium"')).toBe(false);
  });
});

describe('what is sent', () => {
  it('is the workshop and the part of the page, where the recipe has none', () => {
    expect(requestFor(BARE, state, {}, undefined)).toMatchObject({ workshop: shop, part });
    const own = requestFor(`part = "dome.toml"\nworkshop = "mine.toml"\n${BARE}`, state, {}, undefined);
    expect(own).not.toHaveProperty('workshop');
    expect(own).not.toHaveProperty('part');
    expect(requestFor(BARE, FIRST, {}, undefined)).toEqual({ recipe: BARE, view: { light: 'D65', observer: '2' }, files: {} });
  });
  it('is each file that is named, and what that file names', () => {
    const files = { 'mine.toml': 'table = "metal.csv"', 'metal.csv': 'wavelength_nm,n,k', 'other.csv': '' };
    expect(Object.keys(requestFor(`workshop = "mine.toml"\n${BARE}`, state, files, undefined).files).sort()).toEqual(['metal.csv', 'mine.toml']);
  });
  it('is, for a demonstration, what lies beside it, and never that for a recipe of one\u2019s own', () => {
    const recipe = `workshop = "workshop.toml"\npart = "../parts/dome.toml"\n${BARE}`;
    const shelf = { examples: [{ name: 'bells/fade-recipe.toml', text: recipe }, { name: 'bells/workshop.toml', text: 'bells' }, { name: 'parts/dome.toml', text: 'dome' }] } as unknown as Shelf;
    expect(demos(shelf).map((d) => d.name)).toEqual(['bells/fade-recipe.toml']);
    expect(requestFor(recipe, state, { 'workshop.toml': 'mine' }, shelf).files).toEqual({ 'workshop.toml': 'bells', '../parts/dome.toml': 'dome' });
    expect(requestFor(`${recipe}# mine`, state, { 'workshop.toml': 'mine' }, shelf).files).toEqual({ 'workshop.toml': 'mine' });
  });
});
