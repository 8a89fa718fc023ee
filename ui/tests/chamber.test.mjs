// The page Chamber in a browser: what a person notices, beside what the same engine answers when asked directly.
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { deflateRawSync } from 'node:zlib';
import init, { Engine } from '../engine/full.js';
import { browser, host, shots, visit } from './browser.mjs';

const BELLS = join(import.meta.dirname, '../../examples/bells');
const files = Object.fromEntries(readdirSync(BELLS).map((name) => [name, readFileSync(join(BELLS, name), 'utf8')]));
const RECIPE = files['recipe-gold-dark.toml'];
const LOG = files['loads.toml'];
const LOG_VIEW = -1;
const SHOP = { metal: [{ id: 'titanium' }], coater: [{ name: 'silent coater', kind: 'sputter', films: ['tin', 'tialn'], thinnest_nm: 10 }] };
const PLAIN = 'schema = 1\nname = "a test"\n[start.base]\nmaterial = "stainless-austenitic"\n[[step]]\nroute = "sputter"\nmachine = "silent coater"\nfilm = "tin"\nthickness_nm = 300\n';
const HEAT = 'schema = 1\nname = "only heat"\n[start.base]\nmaterial = "titanium"\n[[step]]\nroute = "heat"\nmachine = "kiln"\ntemperature_c = 450\nminutes = 30\n';
// Without the names of its files: what is on the page My shop, my part, goes with it.
const OWN = RECIPE.replace(/^(workshop|part) = .*\n/gm, '');
const LIMITED = OWN.replace('colour = "deep blue"', 'colour = "deep blue"\nlimits = { l = 4.0, a = 6.0, b = 9.0 }');
const address = (state) => `${site.address}#/chamber?s=${deflateRawSync(Buffer.from(JSON.stringify(state))).toString('base64url')}`;
let site;
let chrome;
let answer;
const planned = (recipe) => answer('plan', { recipe, view: { light: 'D65', observer: '2' }, files });
const mine = () => ({ workshop: answer('read', { kind: 'workshop', name: 'w', text: files['workshop.toml'] }).value, part: answer('read', { kind: 'part', name: 'p', text: files['steel-dome.toml'] }).value });
const laid = (plan) => plan.steps.filter((s) => s.chamber);

before(async () => {
  mkdirSync(shots, { recursive: true });
  site = await host();
  chrome = await browser();
  await init({ module_or_path: readFileSync(new URL('../engine/full_bg.wasm', import.meta.url)) });
  const engine = new Engine();
  answer = (question, request) => JSON.parse(engine.ask(question, JSON.stringify(request), { tell: () => {} }));
});
after(async () => {
  await chrome?.close();
  site?.close();
});

/** Opens the page and fails on anything in the console. */
function on(name, state, options, look) {
  test(name, async () => {
    const { page, context, faults } = await visit(chrome, address(typeof state === 'function' ? state() : state), options);
    await look(page, context);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
const part = (page, name) => page.getByRole('region', { name });
const worked = (page) => page.locator('#chamber-step').waitFor({ timeout: 60_000 });
const told = (page) => page.locator('#log-loads').waitFor({ timeout: 60_000 });
const kept = (page) => page.evaluate(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}'));
const paint = (locator) => locator.evaluate((e) => getComputedStyle(e).getPropertyValue('--c'));

test('an empty page teaches, and opens the invented example without the network', async () => {
  const { page, context, faults } = await visit(chrome, address({}));
  await page.getByRole('heading', { name: 'No recipe is chosen yet' }).waitFor();
  await page.getByRole('heading', { name: 'Demonstrations (invented)' }).waitFor();
  // Both modules are there.
  await page.waitForLoadState('networkidle');
  const asked = [];
  page.on('request', (r) => asked.push(r.url()));
  await context.setOffline(true);
  await page.getByRole('button', { name: 'Open the invented example' }).click();
  await worked(page);
  await part(page, 'The load').waitFor();
  await page.getByRole('button', { name: 'Log of loads' }).click();
  await told(page);
  await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').loads);
  assert.equal((await kept(page)).loads, LOG);
  // The browser asks for the icon again by itself when the address changes, and tells that it does not get it.
  assert.deepEqual(asked.filter((url) => /^http/.test(url) && !url.endsWith('mark.svg')), []);
  assert.deepEqual(faults.filter((f) => !f.includes('ERR_INTERNET_DISCONNECTED')), []);
  await context.close();
});

on('each film is told in the numbers of the engine', { recipe: RECIPE }, {}, async (page) => {
  const [gold, dark] = laid(planned(RECIPE));
  await worked(page);
  await part(page, 'The load').waitFor();
  const growth = part(page, 'While it grows');
  const last = dark.chamber.layers.word.length - 1;
  assert.ok((await page.getByTestId('growth-now').innerText()).includes(`${dark.chamber.layers.thickness_nm[last].toFixed(1)} nm: ${dark.chamber.layers.word[last]}`));
  for (const words of dark.chamber.layers.words) assert.ok((await growth.innerText()).includes(words), words);
  const load = part(page, 'The load');
  const text = await load.innerText();
  for (const place of [...dark.chamber.load.positions, ...dark.chamber.load.facets]) {
    assert.ok(text.includes(`${place.thickness_nm.toFixed(1)} nm, ${(100 * place.share).toFixed(0)}\u202f%`), place.at);
    assert.equal(await paint(load.getByRole('img', { name: `${place.at}: ${place.name}`, exact: true })), place.srgb);
  }
  for (const place of dark.chamber.load.worn.positions) assert.equal(await paint(load.getByRole('img', { name: new RegExp(`^${place.at} with .*: ${place.name}$`) })), place.srgb);
  for (const words of dark.chamber.load.words) assert.ok(text.includes(words), words);
  // The dark nitride's gas is not told: which lines of the file would tell it.
  await page.getByText('Reactive gas: the coater has no reading of it for this film').click();
  await page.getByText('up_sccm_v').waitFor();
  await page.getByRole('button', { name: /^Step 2/ }).click();
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'chamber-step');
  await page.waitForFunction((n) => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').chamber === n, gold.number);
  const gas = part(page, 'Reactive gas: nitrogen');
  await gas.waitFor();
  for (const words of gold.chamber.gas.words) assert.ok((await gas.innerText()).includes(words), words);
  await part(page, 'Cautions').first().waitFor();
});

on('the S-curve: branches, the shop\u2019s points, jumps with their ranges, and it is walked by keyboard', { recipe: RECIPE, chamber: 2 }, {}, async (page) => {
  const { balance } = laid(planned(RECIPE))[0].chamber.gas;
  await worked(page);
  const chart = page.getByRole('group', { name: /^Cathode volts against the flow of nitrogen/ });
  await chart.waitFor();
  const name = await chart.getAttribute('aria-label');
  for (const flow of [balance.jump.up_sccm, ...balance.jump.up_range, balance.jump.down_sccm, ...balance.jump.down_range]) assert.ok(name.includes(flow.toFixed(1)), name);
  const parts = balance.curve.steady.filter((steady, i, all) => i === 0 || steady !== all[i - 1]).length;
  assert.equal(await chart.locator('polyline').count(), parts);
  assert.equal(await chart.locator('polyline[stroke-dasharray]').count(), 1, 'what no flow holds is dashed');
  assert.equal(await chart.locator('path.mark').count(), balance.up_sccm_v.length + balance.down_sccm_v.length);
  await chart.focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('PageDown');
  await page.getByText(/sccm: .* Pa, .* V, rate .* % of bare metal/).waitFor();
  await page.getByRole('radio', { name: 'pressure' }).check();
  await page.getByRole('group', { name: /^Pressure against the flow of nitrogen/ }).waitFor();
});

on('a flow that a recipe chooses is marked on the curve', () => ({ ...mine(), recipe: OWN.replace('thickness_nm = 500', 'thickness_nm = 500\nflow_sccm = 12'), chamber: 2 }), {}, async (page) => {
  await page.locator('#chamber-step, [role=alert]').first().waitFor({ timeout: 60_000 });
  await page.getByText('this step: 12.0 sccm').waitFor();
});

on('a turn is stepped by hand where less motion is asked for', { recipe: RECIPE }, {}, async (page) => {
  const { picture } = laid(planned(RECIPE))[1].chamber.load;
  await worked(page);
  const now = page.getByTestId('turn-now');
  await now.waitFor();
  assert.equal(await page.getByRole('button', { name: 'Play the turn' }).count(), 0);
  await page.getByRole('button', { name: 'Step on' }).click();
  assert.ok((await now.innerText()).startsWith(`${picture.turn_deg[1].toFixed(0)}\u00b0 of the turn: ${picture.rate_nm_per_min[1].toFixed(1)} nm/min, ${picture.laid_nm[1].toFixed(2)} nm laid`));
  const slider = page.getByRole('slider', { name: 'Turn of the table' });
  await slider.focus();
  await page.keyboard.press('ArrowRight');
  assert.ok((await slider.getAttribute('aria-valuetext')).startsWith(`${picture.turn_deg[2].toFixed(0)}\u00b0`));
});

on('a turn is played where motion is welcome, and paused', { recipe: RECIPE }, { reducedMotion: 'no-preference' }, async (page) => {
  await worked(page);
  const now = page.getByTestId('turn-now');
  await now.waitFor();
  const still = await now.innerText();
  await page.waitForTimeout(400);
  assert.equal(await now.innerText(), still, 'it does not start by itself');
  await page.getByRole('button', { name: 'Play the turn' }).click();
  await page.waitForFunction((text) => document.querySelector('[data-testid=turn-now]')?.textContent !== text, still);
  await page.getByRole('button', { name: 'Pause' }).click();
  const paused = await now.innerText();
  await page.waitForTimeout(400);
  assert.equal(await now.innerText(), paused);
});

on('limits are judged axis by axis and place by place', () => ({ ...mine(), recipe: LIMITED }), {}, async (page) => {
  const plan = answer('plan', { recipe: LIMITED, ...mine(), view: { light: 'D65', observer: '2' }, files: {} });
  const [{ limits }] = plan.areas;
  await worked(page);
  const table = part(page, 'Limits');
  await table.waitFor();
  const text = await table.innerText();
  for (const axis of limits.axes) assert.ok(text.includes(`${axis.difference < 0 ? '\u2212' : '+'}${Math.abs(axis.difference).toFixed(1)}, ${axis.inside ? 'inside' : 'outside'}`), axis.axis);
  for (const words of limits.words) assert.ok(text.includes(words), words);
  const load = await part(page, 'The load').innerText();
  assert.equal(load.match(/of runs pass/g).length, limits.positions.length + limits.on_part.length);
});

on('a coater that says nothing of its chamber: which lines of the workshop file tell it', { recipe: PLAIN, workshop: SHOP }, {}, async (page) => {
  await worked(page);
  for (const title of ['How its load stands is not told', 'How fast it lays is not told']) await part(page, title).waitFor();
  const text = await page.locator('main').innerText();
  for (const key of ['[coater.load]', 'rotation =', '[[coater.target]]', 'shutter_s =']) assert.ok(text.includes(key), key);
  await part(page, 'While it grows').waitFor();
});

on('a recipe without a coater says so; one that the arc cannot do names the nearest', { recipe: HEAT, workshop: { metal: [{ id: 'titanium' }], oven: [{ name: 'kiln', max_temperature_c: 600 }] } }, {}, async (page) => {
  await page.getByRole('heading', { name: 'This recipe lays nothing in a coater' }).waitFor({ timeout: 60_000 });
  await page.getByText('Another recipe').click();
  await page.getByRole('button', { name: /by arc/ }).click();
  await page.getByRole('heading', { name: 'It cannot be done as written' }).waitFor({ timeout: 60_000 });
  const [why] = planned(files['recipe-gold-dark-arc.toml']).why_not;
  assert.ok((await page.locator('main').innerText()).includes(why.nearest));
  await part(page, 'Through one turn').waitFor();
});

on('the log: witnesses, causes, checks and the next load as the engine tells them', { chamber: LOG_VIEW, loads: LOG }, {}, async (page) => {
  const wanted = answer('correct', { loads: LOG, files });
  await told(page);
  const rows = part(page, 'The loads');
  const last = wanted.loads.at(-1);
  await rows.getByRole('button', { name: last.name }).waitFor();
  for (const witness of last.witnesses) assert.equal(await paint(rows.getByRole('img', { name: new RegExp(`^${witness.at}: ${witness.name}`) }).last()), witness.srgb);
  const text = await page.locator('main').innerText();
  assert.ok(text.includes(last.verdict), last.verdict);
  for (const cause of last.causes) assert.ok(text.includes(cause.words), cause.words);
  for (const why of last.causes[0].why) assert.ok(text.includes(why.check) && text.includes(why.change), why.words);
  const next = part(page, 'The next load');
  await next.waitFor();
  for (const words of [...wanted.next.words, ...wanted.next.set.map((s) => s.words)]) assert.ok((await next.innerText()).includes(words), words);
  await part(page, 'Cautions').waitFor();
  await rows.getByRole('button', { name: wanted.loads[0].name }).click();
  await page.getByText(wanted.loads[0].verdict).waitFor();
  await page.getByText('The log as a picture').click();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save SVG' }).click()]);
  assert.match(readFileSync(await download.path(), 'utf8'), /^<svg/);
});

on('one load is logged by keyboard, only what changed is written, and it is there after a reload', { chamber: LOG_VIEW, loads: LOG }, {}, async (page) => {
  await told(page);
  await page.getByRole('button', { name: 'Log a load' }).focus();
  await page.keyboard.press('Enter');
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'log-form');
  const field = (name) => page.getByRole('textbox', { name, exact: true });
  assert.equal(await field('target counter').inputValue(), '1370');
  assert.equal(await field('pressure').inputValue(), '0.4');
  await page.getByLabel('Date').fill('2026-11-09');
  await field('target counter').fill('1450');
  await page.getByRole('button', { name: 'Take these over' }).click();
  await field('pressure').fill('3.2 mTorr');
  await field('pressure').press('Tab');
  await page.getByText(/^= 0\.426\d* Pa/).waitFor();
  await field('L* a* b* at middle').fill('23.0 about -35');
  await field('L* a* b* at middle').press('Enter');
  await page.getByRole('alert').getByText(/is not L\*, a\*, b\*/).waitFor();
  await field('L* a* b* at middle').fill('23,4 2,1 -35,0');
  // Typed and sent in one breath: the last field is not lost.
  await field('cathode volts').fill('405');
  await field('cathode volts').press('Enter');
  await page.getByRole('button', { name: /^load 4/ }).waitFor({ timeout: 60_000 });
  const change = answer('correct', { loads: LOG, files }).next.set[0];
  await page.waitForFunction(() => /1450/.test(JSON.parse(localStorage.getItem('huewright-state')).loads));
  const { loads } = await kept(page);
  assert.equal(loads.slice(LOG.trimEnd().length).trim(), `[[load]]\ndate = "2026-11-09"\nampere_hours = 1450\ncathode_v = 405\npressure_pa = "3.2 mTorr"\nseconds = ${Number(change.to.toPrecision(9))}\n[[load.witness]]\nat = "middle"\nlab = [23.4, 2.1, -35]`);
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'log-here');
  await page.reload();
  await page.getByRole('button', { name: /^load 4/ }).waitFor({ timeout: 60_000 });
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save the log' }).click()]);
  assert.equal(readFileSync(await download.path(), 'utf8'), loads);
  assert.match(download.suggestedFilename(), /\.toml$/);
});

on('a log is begun for the chosen recipe, and refused where it is wrong', { chamber: LOG_VIEW, recipe: PLAIN, workshop: SHOP }, {}, async (page) => {
  await page.getByRole('heading', { name: 'No log is open' }).waitFor();
  await page.getByLabel('What you call it').fill('my loads');
  await page.getByLabel(/^Master/).fill('73 4 31');
  await page.getByLabel('a* may differ by').fill('2');
  await page.getByRole('button', { name: 'Begin the log' }).click();
  await page.getByText('No load is logged yet').waitFor();
  await page.getByRole('textbox', { name: 'nitrogen', exact: true }).fill('-5');
  await page.getByRole('textbox', { name: 'nitrogen', exact: true }).press('Tab');
  await page.getByRole('alert').getByText(/allowed is 0/).waitFor();
  await page.getByRole('button', { name: 'Log this load' }).click();
  await page.getByText(/^Not saved: "-5" under "nitrogen"/).waitFor();
  await page.getByRole('textbox', { name: 'nitrogen', exact: true }).fill('12');
  await page.getByRole('textbox', { name: 'L* a* b* at middle', exact: true }).fill('72 6 30');
  await page.getByRole('button', { name: 'Log this load' }).click();
  await page.getByRole('button', { name: /^load 1/ }).waitFor({ timeout: 60_000 });
  await page.getByText('passes').first().waitFor();
  // A broken log says where, and is mended on the spot.
  await page.getByText('The text of the log').click();
  const text = page.getByLabel(/TOML; a key that a load leaves out/);
  const good = await text.inputValue();
  await text.fill(good.replace('nitrogen_sccm = 12', 'nitrogen_sccm = "much"'));
  await page.getByRole('button', { name: 'Take this text' }).click();
  await page.getByRole('alert').getByText(/nitrogen_sccm/).waitFor({ timeout: 60_000 });
  await page.getByLabel(/TOML; a key that a load leaves out/).fill(good);
  await page.getByRole('button', { name: 'Take this text' }).click();
  await page.getByRole('button', { name: /^load 1/ }).waitFor({ timeout: 60_000 });
});

for (const width of [280, 360, 1600]) {
  for (const [name, state, ready] of [['film', { recipe: RECIPE, chamber: 2 }, worked], ['log', { chamber: LOG_VIEW, loads: LOG }, told]]) {
    on(`${name}, ${width} pixels: nothing stands out at the side, headings in order, targets are large`, state, { viewport: { width, height: 800 }, colorScheme: width === 360 ? 'dark' : 'light' }, async (page) => {
      await ready(page);
      if (name === 'log') await page.getByRole('button', { name: 'Log a load' }).click();
      else await page.getByRole('group', { name: /^Cathode volts/ }).waitFor();
      await part(page, 'Cautions').last().waitFor();
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= width);
      const levels = await page.evaluate(() => [...document.querySelectorAll('main :is(h1,h2,h3,h4)')].map((h) => Number(h.tagName[1])));
      assert.equal(levels.filter((l) => l === 1).length, 1);
      levels.forEach((level, i) => assert.ok(i === 0 ? level === 1 : level <= levels[i - 1] + 1, levels.join()));
      const small = await page.evaluate(() => [...document.querySelectorAll('main :is(button, summary, select, label:has(input:is([type=radio], [type=checkbox])))')].filter((e) => e.offsetParent && e.getBoundingClientRect().height < 46).map((e) => e.textContent));
      assert.deepEqual(small, []);
      await page.screenshot({ path: join(shots, `chamber-${name}-${width}.png`), fullPage: true });
    });
  }
}
