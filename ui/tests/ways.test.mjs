// The page Ways in a browser: what a person notices, beside what the same engine answers when asked directly.
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { deflateRawSync } from 'node:zlib';
import init, { Engine } from '../engine/full.js';
import { browser, host, shots, visit } from './browser.mjs';

const SMALL = {
  metal: [{ id: 'titanium' }],
  bath: [{ name: 'jar 1', electrolyte: 'citric-acid' }],
  anodiser: [{ name: 'supply', kind: 'regulated', isolated: true, max_voltage_v: 60, repeatability_v: 0.5 }],
};
const WISHES = [{ at: 0, colour: 'blue' }, { at: 60, colour: 'gold' }];
const address = (state, name = 'ways') => `${site.address}#/${name}?s=${deflateRawSync(Buffer.from(JSON.stringify(state))).toString('base64url')}`;
const percent = (share) => `${(100 * share).toFixed(0)}\u202f%`;
let site;
let chrome;
let answer;
let bells;

before(async () => {
  mkdirSync(shots, { recursive: true });
  site = await host();
  chrome = await browser();
  await init({ module_or_path: readFileSync(new URL('../engine/full_bg.wasm', import.meta.url)) });
  const engine = new Engine();
  answer = (question, request) => JSON.parse(engine.ask(question, JSON.stringify(request), { tell: () => {} }));
  const text = answer('shelf', {}).examples.find((e) => e.name.endsWith('workshop.toml')).text;
  bells = answer('read', { kind: 'workshop', name: 'workshop.toml', text }).value;
});
after(async () => {
  await chrome?.close();
  site?.close();
});

/** Opens the page and fails on anything in the console. */
function on(name, state, options, look) {
  test(name, async () => {
    const { page, context, faults } = await visit(chrome, address(state), options);
    await look(page);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
const found = (page, timeout = 30_000) => page.locator('#ways-can').waitFor({ timeout });

on('an empty page says what it will show and leads on', {}, {}, async (page) => {
  await page.getByRole('heading', { name: 'No colour is wanted yet' }).waitFor();
  await page.getByRole('button', { name: 'List your workshop' }).waitFor();
  await page.getByRole('button', { name: 'Choose a colour' }).click();
  await page.waitForURL(/#\/wanted/);
});

on('a wish without a workshop leads to the workshop', { wishes: WISHES }, {}, async (page) => {
  await page.getByRole('heading', { name: 'The workshop has no metal yet' }).waitFor();
  await page.getByRole('button', { name: 'List your workshop' }).click();
  await page.waitForURL(/#\/shop/);
});

on('metal without any machine is told to be the reason', { wishes: WISHES, workshop: { metal: [{ id: 'titanium' }] } }, {}, async (page) => {
  await page.getByRole('button', { name: 'Add what you own' }).waitFor();
});

on('a colour that is none is refused in words', { wishes: [{ at: 0, colour: 'blurple-ish' }], workshop: SMALL }, {}, async (page) => {
  const told = page.getByRole('alert').first();
  await told.waitFor();
  assert.match(await told.textContent(), /blurple-ish/);
});

on('the best way shows the settings, chances and window that the engine gives', { wishes: WISHES, workshop: SMALL }, {}, async (page) => {
  const match = answer('match', { colour: 'blue', workshop: SMALL });
  const best = match.ways[0];
  await found(page);
  const card = page.getByRole('article').first();
  const text = await card.innerText();
  assert.ok(text.includes(best.set) && text.includes(best.title), text);
  const row = async (label) => card.locator('dl > div', { hasText: label }).locator('dd').innerText();
  assert.ok((await row('chance to land')).includes(`(${percent(best.chance)})`));
  assert.ok((await row('two pieces alike')).includes(`(${percent(best.chance_alike)})`));
  assert.equal(await row('difference as planned'), best.delta_e.toFixed(1));
  assert.equal(await row('to expect'), best.expected_delta_e.toFixed(1));
  for (const window of best.windows) assert.ok(text.includes(window.words), window.words);
  for (const other of best.may_also_be) assert.ok(text.includes(other.name) && text.includes(percent(other.share)), other.name);
  for (const caution of best.cautions) assert.ok(text.includes(caution.text), caution.id);
  for (const note of best.notes) assert.ok(text.includes(note), note);
  // Wanted and made touch, so that the eye compares them.
  const box = (name) => card.getByRole('img', { name }).first().boundingBox();
  const [wanted, made, tilted] = await Promise.all([box(/^wanted:/), box(/^made:/), box(/tilted by 30/)]);
  assert.ok(Math.abs(wanted.x + wanted.width - made.x) < 0.01, `${wanted.x + wanted.width} to ${made.x}`);
  assert.ok(Math.abs(made.y + made.height - tilted.y) < 0.01);
  assert.equal(await card.getByRole('img', { name: /^made:/ }).first().evaluate((e) => getComputedStyle(e).getPropertyValue('--c')), best.srgb);
});

on('the ribbon is drawn with the span that holds, in its place', { wishes: WISHES, workshop: SMALL }, {}, async (page) => {
  const best = answer('match', { colour: 'blue', workshop: SMALL }).ways[0];
  const ribbon = answer('way-ribbon', { start: best.start, finish: best.finish, step: best.steps[0] });
  const points = ribbon.rows[0].points;
  const [from, to] = [points[0].value, points.at(-1).value];
  await found(page);
  const card = page.getByRole('article').first();
  const strip = await card.locator('.strip').boundingBox();
  const bar = await card.locator('.strip .window').boundingBox();
  const left = strip.x + (strip.width * (best.windows[0].low - from)) / (to - from);
  const right = strip.x + (strip.width * (best.windows[0].high - from)) / (to - from);
  assert.ok(Math.abs(bar.x - left) < 1.5 && Math.abs(bar.x + bar.width - right) < 1.5, `${bar.x}..${bar.x + bar.width}, not ${left}..${right}`);
  // The wanted colour stands above the bar and does not hide it.
  const want = await card.locator('.strip .want').boundingBox();
  assert.ok(want.y + want.height <= bar.y + 1, `${want.y + want.height} over ${bar.y}`);
});

on('a saved recipe is TOML with the settings; a kept one is found again', { wishes: WISHES, workshop: SMALL }, {}, async (page) => {
  const best = answer('match', { colour: 'blue', workshop: SMALL }).ways[0];
  await found(page);
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save recipe' }).first().click()]);
  assert.match(download.suggestedFilename(), /\.toml$/);
  const recipe = await readFile(await download.path(), 'utf8');
  assert.equal(recipe, best.recipe);
  assert.match(recipe, /^voltage_v = 2\d\.\d+/m);
  await page.getByRole('button', { name: 'Keep it here' }).first().click();
  const field = page.getByLabel('Name of the recipe');
  await field.fill('');
  await page.getByRole('button', { name: 'Keep', exact: true }).click();
  await page.getByText('the recipe has no name').waitFor();
  await field.fill('my blue');
  await field.press('Enter');
  await page.getByText(/Kept as my blue/).waitFor();
  const kept = page.getByRole('list', { name: 'What is kept: recipe' });
  const [again] = await Promise.all([page.waitForEvent('download'), kept.getByRole('button', { name: 'Open my blue' }).click()]);
  assert.equal(await readFile(await again.path(), 'utf8'), best.recipe);
  await page.getByRole('button', { name: 'Keep it here' }).first().click();
  await field.fill('my blue');
  await field.press('Enter');
  await page.getByText("'my blue' is there already").waitFor();
  await page.getByRole('button', { name: 'Put it in its place' }).click();
  await page.getByText(/Kept as my blue/).waitFor();
});

on('another wish, chosen by keyboard alone, has its own ways; undo leads back', { wishes: WISHES, workshop: SMALL }, {}, async (page) => {
  await found(page);
  const gold = answer('match', { colour: 'gold', workshop: SMALL }).ways[0];
  await page.getByRole('radio').first().focus();
  await page.keyboard.press('ArrowRight');
  await page.getByRole('article').first().getByText(gold.set, { exact: false }).first().waitFor();
  assert.match(await page.locator('#ways-can').innerText(), /gold/);
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.getByText(/to blue, the surest first/).waitFor();
  // A card is opened and closed from the keyboard.
  const summary = page.getByRole('article').first().locator('details > summary').first();
  await summary.focus();
  await page.keyboard.press('Enter');
  assert.equal(await page.getByRole('article').first().locator('details').first().evaluate((d) => d.open), false);
});

on('Turn it opens the finish with its outermost film to turn', { wishes: WISHES, workshop: SMALL }, {}, async (page) => {
  const best = answer('match', { colour: 'blue', workshop: SMALL }).ways[0];
  await found(page);
  await page.getByRole('button', { name: 'Turn it' }).first().click();
  await page.waitForURL(/#\/turn/);
  await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').chapter === 5);
  const state = await page.evaluate(() => JSON.parse(localStorage.getItem('huewright-state')));
  const film = best.finish.film.at(-1);
  assert.deepEqual(state.turn, { setting: 'thickness_nm', film: best.finish.film.length - 1 });
  assert.equal(state.finish.film.at(-1).thickness_nm, film.thickness_nm);
  assert.ok(state.from <= film.thickness_nm && film.thickness_nm <= state.to, `${state.from} to ${state.to}`);
});

on('nothing is asked twice: coming back shows the ways at once', { wishes: WISHES, workshop: SMALL }, {}, async (page) => {
  await found(page);
  await page.getByRole('link', { name: /Library/ }).click();
  await page.getByRole('heading', { name: 'Library' }).waitFor();
  await page.evaluate(() => { window.searched = 0; new MutationObserver(() => { if (document.getElementById('searching')) window.searched += 1; }).observe(document.body, { childList: true, subtree: true }); });
  await page.getByRole('link', { name: /Ways/ }).click();
  await found(page, 2000);
  assert.equal(await page.evaluate(() => window.searched), 0);
});

on('ways that cannot be done are listed with their reasons', { wishes: [{ at: 0, colour: 'black' }], workshop: SMALL }, {}, async (page) => {
  const match = answer('match', { colour: 'black', workshop: SMALL });
  assert.equal(match.ways.filter((w) => w.feasible).length, 0);
  await page.getByRole('heading', { name: 'No way comes within 5 of this black' }).waitFor();
  const text = await page.locator('main').innerText();
  for (const why of match.ways[0].why_not) assert.ok(text.includes(why), why);
});

test('the bell workshop: progress, stop, a new search, the board, the reach', async () => {
  const { page, context, faults } = await visit(chrome, address({ wishes: [{ at: 0, colour: 'deep blue' }], workshop: bells }), { viewport: { width: 1600, height: 900 } });
  const bar = page.getByRole('progressbar', { name: 'Routes searched' });
  await bar.waitFor();
  await page.waitForFunction(() => (document.querySelector('progress')?.value ?? 0) >= 2);
  await page.screenshot({ path: join(shots, 'ways-searching-1600.png') });
  // The search goes on while another page is open.
  const done = await page.locator('progress').first().evaluate((bar) => bar.value);
  await page.getByRole('link', { name: /Library/ }).click();
  await page.getByRole('heading', { name: 'Library' }).waitFor();
  await page.getByRole('link', { name: /Ways/ }).click();
  await bar.waitFor();
  assert.ok((await page.locator('progress').first().evaluate((b) => b.value)) >= done);
  await page.getByRole('button', { name: 'Stop' }).focus();
  await page.keyboard.press('Enter');
  await page.getByText('The search was stopped.').last().waitFor();
  assert.equal(await page.evaluate(() => document.activeElement?.textContent), 'Search again');
  await page.keyboard.press('Enter');
  await bar.waitFor();
  const from = performance.now();
  await found(page, 120_000);
  console.log(`match of the bell workshop in the browser: ${((performance.now() - from) / 1000).toFixed(1)} s`);
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'ways-can');
  const match = answer('match', { colour: 'deep blue', workshop: bells });
  const can = match.ways.filter((w) => w.feasible);
  assert.equal(await page.getByRole('article').count(), can.length);
  const text = await page.locator('main').innerText();
  // Each step's settings stand on a line of their own.
  for (const way of can) for (const part of way.set.split('; then ')) assert.ok(text.includes(part), part);
  // Closed groups hold the rest; their text is there for who opens them.
  const all = await page.locator('main').evaluate((main) => main.textContent.replaceAll(/\s+/g, ' '));
  for (const way of match.ways.filter((w) => !w.feasible)) for (const why of way.why_not) assert.ok(all.includes(why), why);
  await page.getByRole('region', { name: 'Cautions for several ways' }).getByText(/^Ways 1/).first().waitFor();
  assert.equal(await page.locator('.strip').count(), 3);
  await page.screenshot({ path: join(shots, 'ways-bells-1600.png') });
  const [table] = await Promise.all([page.waitForEvent('download'), page.getByRole('group', { name: /Save: Ways to/ }).getByRole('button', { name: 'Save CSV' }).click()]);
  assert.equal((await readFile(await table.path(), 'utf8')).split('\n').length, match.ways.length + 1);
  const [board] = await Promise.all([page.waitForEvent('download', { timeout: 120_000 }), page.getByRole('group', { name: /Save: Ways to/ }).getByRole('button', { name: 'Save SVG' }).click()]);
  assert.match(await readFile(await board.path(), 'utf8'), /^<svg/);
  await page.getByText('The reach of each route').click();
  const picture = page.getByRole('img', { name: /^What each route reaches/ });
  await picture.waitFor({ timeout: 120_000 });
  assert.ok(await picture.evaluate((i) => i.decode().then(() => i.naturalWidth > 100)));
  await page.getByText(/most vivid: .* chroma \d/).first().waitFor();
  assert.deepEqual(faults, []);
  await context.close();
});

for (const width of [360, 1600]) {
  for (const colorScheme of ['light', 'dark']) {
    on(`${width} pixels, ${colorScheme}: nothing stands out at the side, headings in order`, { wishes: WISHES, workshop: SMALL }, { viewport: { width, height: 900 }, colorScheme }, async (page) => {
      await found(page);
      await page.locator('.strip').first().waitFor();
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= width);
      const levels = await page.evaluate(() => [...document.querySelectorAll('main :is(h1,h2,h3,h4)')].map((h) => Number(h.tagName[1])));
      assert.equal(levels.filter((l) => l === 1).length, 1);
      levels.forEach((level, i) => assert.ok(i === 0 ? level === 1 : level <= levels[i - 1] + 1, levels.join()));
      const small = await page.evaluate(() => [...document.querySelectorAll('main :is(button, summary, select, label:has(input))')].filter((e) => e.offsetParent && e.getBoundingClientRect().height < 46).map((e) => e.textContent));
      assert.deepEqual(small, []);
      await page.screenshot({ path: join(shots, `ways-${width}-${colorScheme}.png`), fullPage: true });
    });
  }
}
