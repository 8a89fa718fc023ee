// The page Library in a browser: what a person notices, beside what the same engine answers when asked directly.
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import init, { Engine } from '../engine/full.js';
import { browser, host, shots, visit } from './browser.mjs';

let site;
let chrome;
let rows;
before(async () => {
  mkdirSync(shots, { recursive: true });
  site = await host();
  chrome = await browser();
  await init({ module_or_path: readFileSync(new URL('../engine/full_bg.wasm', import.meta.url)) });
  rows = JSON.parse(new Engine().ask('materials', '{}', { tell: () => {} })).materials;
});
after(async () => {
  await chrome?.close();
  site?.close();
});

function on(name, options, look) {
  test(name, async () => {
    const { page, context, faults } = await visit(chrome, `${site.address}#/library`, options);
    // The last row has come: rows are drawn some at a time.
    await cards(page).nth(rows.length - 1).waitFor();
    await look(page);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
const cards = (page) => page.locator('main ul > li.sheet');
const card = (page, row) => cards(page).filter({ has: page.getByText(row.words, { exact: true }) });

on('every material is there, with a swatch for each table', {}, async (page) => {
  assert.equal(await cards(page).count(), rows.length);
  const drawn = await cards(page).evaluateAll((list) => list.map((li) => [...li.querySelectorAll('.strip .swatch')].map((s) => s.style.getPropertyValue('--c'))));
  assert.deepEqual(drawn, rows.map((r) => r.swatches));
  assert.equal(await page.getByText('stand-in', { exact: true }).count(), rows.filter((r) => r.stand_in).length);
});

on('roles and words filter; nothing found teaches and leads back', {}, async (page) => {
  for (const [role, word] of [['base', 'bases'], ['film', 'films'], ['over', 'coats']]) {
    await page.getByRole('radio', { name: word }).check();
    const those = rows.filter((r) => r.roles.includes(role)).length;
    await cards(page).nth(those - 1).waitFor();
    assert.equal(await cards(page).count(), those, word);
  }
  await page.getByRole('radio', { name: 'all' }).check();
  await page.getByLabel('Search').fill('Johnson');
  const by = rows.filter((r) => r.sources.some((s) => s.citation.includes('Johnson')));
  assert.ok(by.length > 0);
  await cards(page).nth(by.length - 1).waitFor();
  assert.equal(await cards(page).count(), by.length);
  await page.getByLabel('Search').fill('unobtainium');
  await page.getByRole('heading', { name: 'Nothing is called that' }).waitFor();
  await page.getByRole('button', { name: 'Show all' }).click();
  await cards(page).nth(rows.length - 1).waitFor();
  assert.equal(await cards(page).count(), rows.length);
});

on('the widest disagreement comes first when asked', {}, async (page) => {
  await page.getByRole('combobox', { name: /^Order/ }).selectOption('disagreement');
  const widest = rows.reduce((a, b) => ((b.spread_between_tables ?? 0) > (a.spread_between_tables ?? 0) ? b : a));
  const text = await cards(page).first().innerText();
  assert.ok(text.includes(widest.words) && text.includes(widest.spread_between_tables.toFixed(1)), text);
});

on('opened by keyboard, a material tells every source, status and caveat', {}, async (page) => {
  const row = rows.find((r) => r.id === 'titania-anodic');
  const here = card(page, row);
  await here.locator('summary').focus();
  await page.keyboard.press('Enter');
  await here.getByText('CIEDE2000').waitFor();
  const text = await here.innerText();
  for (const source of row.sources) for (const part of [source.which, source.citation, source.status, ...source.caveats]) assert.ok(text.includes(part), part);
  assert.ok(text.includes(row.shown) && text.includes(row.spread_between_tables.toFixed(1)));
  // The swatches of a row of tables touch.
  const boxes = await here.locator('.tables .swatch').evaluateAll((list) => list.map((e) => e.getBoundingClientRect().toJSON()));
  assert.equal(boxes.length, row.sources.length);
  assert.ok(Math.abs(boxes[0].right - boxes[1].left) < 0.01);
});

on('the family slider is told in words', {}, async (page) => {
  const row = rows.find((r) => r.family);
  await card(page, row).locator('summary').click();
  await card(page, row).getByText(row.family).waitFor();
});

on('Turn it lays the film as its swatch shows it', {}, async (page) => {
  const row = rows.find((r) => r.id === 'niobia');
  const here = card(page, row);
  await here.locator('summary').click();
  await here.getByRole('button', { name: /Turn it/ }).click();
  await page.waitForURL(/#\/turn/);
  await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').finish?.film?.[0]?.material === 'niobia');
  const state = await page.evaluate(() => JSON.parse(localStorage.getItem('huewright-state')));
  assert.equal(`${state.finish.film[0].thickness_nm} nm on ${state.finish.base.material}`, row.shown);
});

on('under another light the swatches are those of that light', {}, async (page) => {
  const first = () => cards(page).nth(rows.findIndex((r) => r.id === 'titania-anodic')).locator('.strip .swatch').first().evaluate((s) => s.style.getPropertyValue('--c'));
  const day = await first();
  await page.getByRole('combobox', { name: /^Light/ }).selectOption('F11');
  await page.waitForFunction((was) => ![...document.querySelectorAll('.strip .swatch')].some((s) => s.style.getPropertyValue('--c') === was), day);
});

for (const width of [360, 1600]) {
  for (const colorScheme of ['light', 'dark']) {
    on(`${width} pixels, ${colorScheme}: nothing stands out at the side`, { viewport: { width, height: 900 }, colorScheme }, async (page) => {
      await card(page, rows.find((r) => r.id === 'tin')).locator('summary').click();
      await page.getByText('CIEDE2000').first().waitFor();
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= width);
      await page.screenshot({ path: join(shots, `library-${width}-${colorScheme}.png`), fullPage: true });
    });
  }
}
