// The page Run in a browser: what a person notices, beside what the same engine answers when asked directly.
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { deflateRawSync } from 'node:zlib';
import init, { Engine } from '../engine/full.js';
import { browser, host, shots, visit } from './browser.mjs';

const SHOP = {
  metal: [{ id: 'titanium' }],
  bath: [{ name: 'jar 1', electrolyte: 'citric-acid' }],
  anodiser: [{ name: 'supply', kind: 'regulated', isolated: true, max_voltage_v: 60, max_current_a: 3, repeatability_v: 0.5, gap_mm: 50 }],
};
const PART = { metal: 'titanium', shape: { kind: 'sheet', length_mm: 30, width_mm: 10, thickness_mm: 1 } };
const recipe = (steps) => `schema = 1\nname = "a test"\n[wanted]\ncolour = "blue"\n[start.base]\nmaterial = "titanium"\n${steps}`;
const ANODISE = (volts) => `[[step]]\nroute = "anodise"\nmachine = "supply"\nbath = "jar 1"\nvoltage_v = ${volts}\nhold_s = 30\n`;
const PLAIN = recipe(`[[step]]\npreparation = "clean"\n${ANODISE(45)}`);
const BEYOND = recipe(ANODISE(90));
const FADE = recipe('[[step]]\nroute = "anodise"\nmachine = "supply"\nbath = "jar 1"\nlength_mm = 30\n[[step.along]]\nat = 0\nvoltage_v = 15\n[[step.along]]\nat = 100\nvoltage_v = 50\n');
const address = (state) => `${site.address}#/run?s=${deflateRawSync(Buffer.from(JSON.stringify(state))).toString('base64url')}`;
const percent = (share) => `${(100 * share).toFixed(0)}\u202f%`;
let site;
let chrome;
let answer;
const planned = (text) => answer('plan', { recipe: text, workshop: SHOP, part: PART, view: { light: 'D65', observer: '2' }, files: {} });
const run = (text, step = 0, noted = []) => ({ recipe: text, workshop: SHOP, part: PART, run: { step, noted } });

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
    const { page, context, faults } = await visit(chrome, address(state), options);
    await look(page, context);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
const here = (page) => page.locator('#run-here');
const kept = (page) => page.evaluate(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').run);
/** Reads what must be read first, where there is anything. */
async function open(page) {
  await here(page).waitFor({ timeout: 60_000 });
  const read = page.getByRole('button', { name: 'Read, go on' });
  if (await read.isVisible()) await read.click();
  await page.getByRole('button', { name: 'As planned' }).waitFor();
}

on('an empty page says what it will show and leads on', {}, {}, async (page) => {
  await page.getByRole('heading', { name: 'No recipe is chosen yet' }).waitFor();
  await page.getByRole('button', { name: 'Find a way to a colour' }).click();
  await page.waitForURL(/#\/ways/);
});

on('a recipe that cannot be read is refused in the words of the engine, and can be mended on the spot', run('schema = 1\n[[step]]\nrout = "anodise"\n'), {}, async (page) => {
  const told = page.getByRole('alert').first();
  await told.waitFor();
  assert.match(await told.textContent(), /rout/);
  await page.getByRole('textbox').fill(PLAIN);
  await page.getByRole('button', { name: 'Work it out again' }).click();
  await page.getByRole('button', { name: 'Begin' }).waitFor({ timeout: 60_000 });
});

on('a way is run from its card', { wishes: [{ at: 0, colour: 'blue' }], workshop: SHOP }, {}, async (page) => {
  const best = answer('match', { colour: 'blue', workshop: SHOP }).ways[0];
  await page.getByRole('link', { name: /Ways/ }).click();
  await page.getByRole('button', { name: 'Run it' }).first().click({ timeout: 60_000 });
  await page.waitForURL(/#\/run/);
  await here(page).waitFor({ timeout: 60_000 });
  await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').recipe);
  assert.equal(await page.evaluate(() => JSON.parse(localStorage.getItem('huewright-state')).recipe), best.recipe);
});

on('a recipe file is read; another file is at hand for a recipe that names it', {}, {}, async (page) => {
  await page.getByLabel('Read a recipe (.toml)').last().setInputFiles({ name: 'shop.toml', mimeType: 'text/plain', buffer: Buffer.from('schema = 1\n[[metal]]\nid = "titanium"\n[[bath]]\nname = "jar 1"\nelectrolyte = "citric-acid"\n[[anodiser]]\nname = "supply"\nkind = "regulated"\nisolated = true\nmax_voltage_v = 60\n') });
  await page.getByText(/shop.toml has no \[\[step\]\]/).waitFor();
  await page.getByLabel('Read a recipe (.toml)').last().setInputFiles({ name: 'mine.toml', mimeType: 'text/plain', buffer: Buffer.from(PLAIN.replace('name =', 'workshop = "shop.toml"\nname =')) });
  await page.getByRole('button', { name: 'Begin' }).waitFor({ timeout: 60_000 });
});

on('every demonstration recipe can be run', {}, {}, async (page) => {
  const demos = answer('shelf', {}).examples.filter((e) => e.name.endsWith('.toml') && (e.name.includes('recipe') || e.name.startsWith('plans/')));
  assert.ok(demos.length > 0, 'the shelf has demonstration recipes');
  await page.getByRole('heading', { name: 'Demonstrations (invented)' }).waitFor();
  const buttons = page.locator('section[aria-labelledby="run-from"] ul').first().getByRole('button');
  assert.equal(await buttons.count(), demos.length);
  for (let i = 0; i < demos.length; i += 1) {
    await buttons.nth(i).click();
    await here(page).waitFor({ timeout: 60_000 });
    await page.getByRole('button', { name: 'Undo' }).click();
    await buttons.first().waitFor();
  }
});

on('the overview shows what the engine says will come out', run(PLAIN), {}, async (page) => {
  const plan = planned(PLAIN);
  await page.getByRole('button', { name: 'Begin' }).waitFor({ timeout: 60_000 });
  await page.getByRole('heading', { name: 'Two alike' }).waitFor();
  await page.getByRole('region', { name: 'Cautions of all steps' }).waitFor();
  const text = await page.locator('main').innerText();
  for (const step of plan.steps) assert.ok(text.includes(step.title) && step.set.every((s) => text.includes(s.words)), step.title);
  const area = plan.areas[0];
  const card = page.getByRole('article').first();
  const row = (label) => card.locator('dl > div', { hasText: label }).locator('dd').innerText();
  assert.ok((await row('chance to land')).includes(percent(area.chance)));
  assert.ok((await row('two pieces land and match')).includes(percent(area.chance_alike)));
  if (area.thickness_nm) assert.ok((await row('film in 90 of 100 runs')).startsWith(`${area.thickness_nm.low.toFixed(0)} to ${area.thickness_nm.high.toFixed(0)} nm`));
  for (const other of area.may_also_be) assert.ok((await card.innerText()).includes(other.name), other.name);
  for (const caution of plan.cautions) assert.ok(text.includes(caution.text), caution.id);
  // Wanted and made touch, so that the eye compares them.
  const box = (name) => card.getByRole('img', { name }).first().boundingBox();
  const [wanted, made] = await Promise.all([box(/^wanted:/), box(/^made:/)]);
  assert.ok(Math.abs(wanted.x + wanted.width - made.x) < 0.01);
  assert.equal(await card.getByRole('img', { name: /^made:/ }).evaluate((e) => getComputedStyle(e).getPropertyValue('--c')), area.srgb);
});

on('what cannot be done tells step, limit and the nearest that can, and does not begin', run(BEYOND, 1), {}, async (page) => {
  const plan = planned(BEYOND);
  assert.equal(plan.feasible, false);
  await page.getByRole('heading', { name: 'It cannot be done as written' }).waitFor({ timeout: 60_000 });
  const text = await page.locator('main').innerText();
  for (const why of plan.why_not) {
    assert.ok(text.includes(`Step ${why.step}, ${why.limit}:`) && text.includes(why.words.replace(/^step \d+: /, '')), why.words);
    if (why.nearest) assert.ok(text.includes(why.nearest), why.nearest);
  }
  assert.equal(await page.getByRole('button', { name: 'Begin' }).count(), 0);
});

on('by keyboard alone: cautions first, then the step; noted in two taps, the end saved', run(PLAIN), {}, async (page) => {
  const plan = planned(PLAIN);
  const focused = () => page.evaluate(() => document.activeElement?.id || document.activeElement?.textContent?.trim());
  await page.getByRole('button', { name: 'Begin' }).waitFor({ timeout: 60_000 });
  await page.getByRole('button', { name: 'Begin' }).focus();
  await page.keyboard.press('Enter');
  for (const step of plan.steps) {
    await page.getByRole('heading', { name: `Step ${step.number} of ${plan.steps.length}` }).waitFor();
    assert.equal(await focused(), 'run-here', 'the focus is at the heading of the step');
    if (step.cautions.length > 0) {
      const text = await page.locator('main').innerText();
      for (const caution of step.cautions) assert.ok(text.includes(caution.text), caution.id);
      assert.equal(await page.getByRole('heading', { name: 'Do', exact: true }).count(), 0, 'the step is closed until the cautions are read');
      await page.getByRole('button', { name: 'Read, go on' }).focus();
      await page.keyboard.press('Enter');
      assert.equal(await focused(), 'run-here');
    }
    const text = await page.locator('main').innerText();
    for (const line of [...step.do, ...step.watch, ...(step.stop ? [step.stop] : []), ...step.set.map((s) => s.words)]) assert.ok(text.includes(line), line);
    if (step.kind === 'route') {
      const size = await page.locator('.sets dd').first().evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
      assert.ok(size >= 48, `what is set is ${size} px large`);
    }
    if (step.number === 1) {
      await page.getByRole('button', { name: 'As planned' }).focus();
      await page.keyboard.press('Enter');
    } else {
      await page.getByRole('button', { name: 'Otherwise' }).focus();
      await page.keyboard.press('Enter');
      assert.equal(await page.evaluate(() => document.activeElement?.tagName), 'INPUT');
      await page.keyboard.press('Control+A');
      await page.keyboard.type('about 44');
      await page.keyboard.press('Enter');
      await page.getByText('"about 44" is no number').waitFor();
      await page.getByLabel(/planned/).first().focus();
      await page.keyboard.press('Control+A');
      await page.keyboard.type('44,5');
      await page.getByLabel('In words').fill('the "meter" jumps');
      await page.getByRole('button', { name: 'Note it' }).focus();
      await page.keyboard.press('Enter');
    }
    await page.getByText(/^Noted at \d\d:\d\d/).waitFor();
    // The second tap.
    assert.match(await focused(), /Next step|To the end/);
    await page.keyboard.press('Enter');
  }
  await page.getByRole('heading', { name: `What was done: ${plan.name}` }).waitFor();
  assert.equal(await focused(), 'run-here');
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: /^Save what was done/ }).click()]);
  assert.match(download.suggestedFilename(), /done\.toml$/);
  const file = await readFile(await download.path(), 'utf8');
  assert.equal(file.match(/^\[\[done\]\]$/gm).length, plan.steps.length);
  assert.match(file, /^schema = 1$/m);
  assert.match(file, /^at = "\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d"$/m);
  assert.match(file, /as_planned = false[^]*words = "the \\"meter\\" jumps"[^]*value = 44\.5\nplanned = /);
  await page.getByRole('button', { name: 'Undo' }).click();
});

on('a reload loses neither the step, nor what was noted, nor the timer', run(PLAIN, 1), {}, async (page) => {
  await open(page);
  await page.getByRole('button', { name: 'Start' }).click();
  await page.getByRole('button', { name: 'As planned' }).click();
  await page.getByText(/^Noted at/).waitFor();
  await page.waitForTimeout(1_500);
  await page.reload();
  await open(page);
  await page.getByText(/^Noted at .* as planned/).waitFor();
  const shown = await page.getByRole('timer').innerText();
  assert.match(shown, /^0:(0[1-9]|[1-5]\d)$/);
  await page.getByRole('button', { name: 'Pause' }).click();
  const paused = await page.getByRole('timer').innerText();
  await page.waitForTimeout(1_200);
  assert.equal(await page.getByRole('timer').innerText(), paused);
  await page.getByRole('button', { name: 'Reset' }).click();
  assert.equal(await page.getByRole('timer').innerText(), '0:00');
  assert.equal((await kept(page)).noted.length, 1);
});

test('a fade follows the timer, beat by beat', async () => {
  const plan = planned(FADE);
  const { lift } = plan.steps[0];
  const { page, context, faults } = await visit(chrome, address(run(FADE, 1)));
  await open(page);
  await page.clock.install();
  const before = lift.before_s ?? 0;
  const volts = (v) => `${v.toFixed(1)} V`;
  const now = page.locator('.now .volts').first();
  assert.equal(await now.innerText(), volts(lift.voltage_v[0]));
  await page.getByRole('button', { name: 'Start' }).click();
  for (const i of [0, Math.floor(lift.beats.length / 2), lift.beats.length - 1]) {
    const beat = lift.beats[i];
    const [minutes, seconds] = (await page.getByRole('timer').innerText()).split(':').map(Number);
    // Well inside the beat.
    await page.clock.fastForward(Math.max(0, Math.round(1000 * (before + beat.second + 1 - (60 * minutes + seconds)))));
    await page.locator('tr[aria-current=step]').getByText(volts(beat.voltage_v)).waitFor();
    assert.equal(await now.innerText(), volts(beat.voltage_v));
    const next = lift.beats[i + 1];
    if (next) assert.ok((await page.locator('tr.coming').innerText()).includes(volts(next.voltage_v)));
  }
  await page.clock.fastForward(600_000);
  await page.getByText(/are over/).first().waitFor();
  assert.deepEqual(faults, []);
  await context.close();
});

test('once it is there nothing is fetched: the whole recipe is run without a network', async () => {
  const plan = planned(PLAIN);
  const { page, context, faults } = await visit(chrome, address(run(PLAIN)));
  await page.getByRole('button', { name: 'Begin' }).waitFor({ timeout: 60_000 });
  await page.getByText('Another recipe').waitFor();
  const asked = [];
  page.on('request', (r) => asked.push(r.url()));
  await context.setOffline(true);
  await page.getByRole('button', { name: 'Begin' }).click();
  for (let i = 0; i < plan.steps.length; i += 1) {
    await open(page);
    await page.getByRole('button', { name: 'As planned' }).click();
    await page.getByRole('button', { name: /Next step|To the end/ }).click();
  }
  await page.getByRole('heading', { name: /^What was done/ }).waitFor();
  // The browser asks for the icon again by itself when the address changes, and tells that it does not get it.
  assert.deepEqual(asked.filter((url) => /^http/.test(url) && !url.endsWith('mark.svg')), []);
  assert.deepEqual(faults.filter((f) => !f.includes('ERR_INTERNET_DISCONNECTED')), []);
  await context.close();
});

on('on paper it is a plain list of every step', run(PLAIN, 2), {}, async (page) => {
  const plan = planned(PLAIN);
  await here(page).waitFor({ timeout: 60_000 });
  await page.emulateMedia({ media: 'print' });
  await page.locator('.paper h2').last().waitFor();
  const paper = await page.locator('.paper').innerText();
  for (const step of plan.steps) for (const line of [step.title, ...step.do, ...step.cautions.map((c) => c.text)]) assert.ok(paper.includes(line), line);
  assert.equal(await here(page).isVisible(), false);
});

for (const width of [360, 1600]) {
  for (const colorScheme of ['light', 'dark']) {
    for (const [name, text, step] of [['overview', PLAIN, 0], ['step', PLAIN, 2], ['fade', FADE, 1], ['end', PLAIN, 3]]) {
      on(`${name}, ${width} pixels, ${colorScheme}: nothing stands out at the side, headings in order, targets are large`, run(text, step), { viewport: { width, height: 800 }, colorScheme }, async (page) => {
        if (name === 'step' || name === 'fade') {
          await open(page);
          await page.locator('canvas').last().waitFor();
        } else await here(page).waitFor({ timeout: 60_000 });
        await page.waitForTimeout(300);
        assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= width);
        const levels = await page.evaluate(() => [...document.querySelectorAll('main :is(h1,h2,h3,h4)')].map((h) => Number(h.tagName[1])));
        assert.equal(levels.filter((l) => l === 1).length, 1);
        levels.forEach((level, i) => assert.ok(i === 0 ? level === 1 : level <= levels[i - 1] + 1, levels.join()));
        const small = await page.evaluate(() => [...document.querySelectorAll('main :is(button, summary, select, label:has(input))')].filter((e) => e.offsetParent && e.getBoundingClientRect().height < 46).map((e) => e.textContent));
        assert.deepEqual(small, []);
        await page.screenshot({ path: join(shots, `run-${name}-${width}-${colorScheme}.png`), fullPage: true });
      });
    }
  }
}
