// What holds for every page: a fault while drawing, one's own state against links and other tabs, an engine that is missing,
// files of the wrong kind, narrow screens.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { deflateRawSync } from 'node:zlib';
import { browser, host, visit } from './browser.mjs';

let site;
let chrome;
before(async () => {
  site = await host();
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  site?.close();
});

const MINE = { workshop: { metal: [{ id: 'niobium' }], name: 'my bench' } };
const THEIRS = { workshop: { metal: [{ id: 'titanium' }], name: 'their bench' } };
const link = (page, state) => `${site.address}#/${page}?s=${deflateRawSync(Buffer.from(JSON.stringify(state))).toString('base64url')}`;
const kept = (page) => page.evaluate(() => JSON.parse(localStorage.getItem('huewright-state') ?? 'null'));
const untilKept = (page, name, chapter) => page.waitForFunction(([n, c]) => {
  const state = JSON.parse(localStorage.getItem('huewright-state') ?? '{}');
  return state.workshop?.name === n && (c === undefined || state.chapter === c);
}, [name, chapter]);
const status = (page, text) => page.getByRole('status').filter({ hasText: text });
const alert = (page, text) => page.getByRole('alert').filter({ hasText: text });

/** A browser that has been here before, with `state` kept; pages of it fail the test on anything in the console. */
async function person(state, work, init = undefined) {
  const context = await chrome.newContext({ viewport: { width: 1280, height: 900 }, reducedMotion: 'reduce' });
  const faults = [];
  if (init) await context.addInitScript(init);
  if (state) await context.addInitScript((text) => { if (!localStorage.getItem('huewright-state')) localStorage.setItem('huewright-state', text); }, JSON.stringify(state));
  const open = async (address) => {
    const page = await context.newPage();
    page.on('pageerror', (error) => faults.push(String(error)));
    page.on('console', (message) => message.type() === 'error' && faults.push(message.text()));
    await page.goto(address);
    await page.locator('main h1').first().waitFor();
    return page;
  };
  try {
    await work(open, context);
    assert.deepEqual(faults, []);
  } finally {
    await context.close();
  }
}
const turned = (page) => page.locator('[data-testid=setting]').waitFor();
const on = async (page) => { await turned(page); await page.getByRole('button', { name: /^(Tilt it|Change the surface|Look inside)$/ }).click(); };

test('a page that cannot be drawn says so and leads out, and another page still opens', () =>
  person(MINE, async (open, context) => {
    await context.route('**/assets/Turn-*.js', (route) => route.fulfill({
      contentType: 'text/javascript',
      body: 'export default (anchor) => { if (!window.whole) throw new Error("made to fail"); const h = document.createElement("h1"); h.textContent = "drawn"; anchor.before(h); };',
    }));
    const page = await open(`${site.address}#/wanted`);
    await page.getByRole('button', { name: 'blue', exact: true }).click();
    await page.getByRole('link', { name: /Turn it/ }).click();
    const told = alert(page, 'This page could not be drawn');
    await told.waitFor();
    assert.match(await told.textContent(), /made to fail/);
    await page.getByRole('link', { name: /Library/ }).click();
    await page.getByRole('heading', { name: /materials$/ }).waitFor();
    await page.getByRole('link', { name: /Turn it/ }).click();
    await told.waitFor();

    await page.evaluate(() => { window.whole = true; });
    await page.getByRole('button', { name: 'Undo the last change' }).click();
    await page.getByRole('heading', { name: 'drawn' }).waitFor();
    await page.waitForFunction(() => (JSON.parse(localStorage.getItem('huewright-state')).wishes ?? []).length === 0);
    await page.getByRole('button', { name: 'Redo' }).click();
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state')).wishes?.length === 1);

    await page.reload();
    await told.waitFor();
    assert.equal(await page.getByRole('button', { name: 'Undo the last change' }).count(), 0, 'nothing to undo after a reload');
    await page.getByRole('button', { name: /Start anew/ }).click();
    await page.waitForFunction(() => (JSON.parse(localStorage.getItem('huewright-state')).wishes ?? []).length === 0);
    assert.equal((await kept(page)).workshop.name, 'my bench', 'the shop stays');
    await page.getByRole('button', { name: /Start with an empty shop/ }).waitFor();
    await page.evaluate(() => { window.whole = true; });
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.getByRole('heading', { name: 'drawn' }).waitFor();
    await status(page, 'before you started anew').getByRole('button', { name: 'Take it back' }).click();
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state')).wishes?.length === 1);
  }));

test('a link that is looked at leaves one\u2019s own shop alone; changed, it takes its place, and the former is offered back', () =>
  person(MINE, async (open) => {
    const page = await open(link('turn', THEIRS));
    await status(page, 'came with a link').waitFor();
    await page.waitForFunction(() => history.state?.link === true);
    assert.equal((await kept(page)).workshop.name, 'my bench');
    await page.reload();
    await status(page, 'came with a link').waitFor();
    assert.equal((await kept(page)).workshop.name, 'my bench', 'also when the page is left');
    await page.getByRole('button', { name: 'Back to my own' }).click();
    await status(page, 'came with a link').waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Redo' }).click();
    await status(page, 'came with a link').waitFor();

    await on(page);
    await untilKept(page, 'their bench', 2);
    const offer = status(page, 'Your own shop from before the link (my bench)');
    await offer.waitFor();
    await page.reload();
    await offer.getByRole('button', { name: 'Not now' }).click();
    await page.getByText('Kept beside (1)').click();
    await page.getByRole('button', { name: 'Take it back' }).click();
    await untilKept(page, 'my bench');
    await page.getByText('Kept beside').waitFor({ state: 'detached' });
    await page.reload();
    await turned(page);
    assert.equal((await kept(page)).workshop.name, 'my bench');
  }));

test('of two tabs the last change wins, and what the other held is kept beside', () =>
  person(MINE, async (open) => {
    const one = await open(`${site.address}#/turn`);
    const two = await open(`${site.address}#/turn`);
    await on(one);
    await untilKept(one, 'my bench', 2);
    await two.bringToFront();
    await turned(two);
    await two.getByRole('button', { name: 'Show everything' }).click();
    await untilKept(two, 'my bench', 5);
    await status(two, 'What another tab of this page held').waitFor();
    await one.bringToFront();
    await one.reload();
    await one.getByRole('heading', { name: '2. Tilt it' }).waitFor();
    assert.equal((await kept(one)).chapter, 5, 'a reload alone changes nothing');
    await two.bringToFront();
    await status(two, 'What another tab of this page held').getByRole('button', { name: 'Take it back' }).click();
    await untilKept(two, 'my bench', 2);
  }));

test('a store that is full is told of, once', () =>
  person(MINE, async (open) => {
    const page = await open(`${site.address}#/turn`);
    await on(page);
    await alert(page, 'does not keep what you do here').getByRole('button', { name: 'Understood' }).click();
    const old = await page.evaluate(() => location.hash);
    await on(page);
    await page.waitForFunction((hash) => location.hash !== hash, old);
    assert.equal(await page.getByRole('alert').count(), 0);
    await page.reload();
    await page.getByRole('heading', { name: '3. The surface' }).waitFor();
  }, () => {
    const set = Storage.prototype.setItem;
    Storage.prototype.setItem = function (key, text) {
      if (this === localStorage && key === 'huewright-state' && localStorage.getItem(key) !== null) throw new DOMException('full', 'QuotaExceededError');
      set.call(this, key, text);
    };
  }));

test('a browser without packing says that it is too old for links, and works on', () =>
  person(MINE, async (open) => {
    const page = await open(link('turn', THEIRS));
    const told = alert(page, 'too old for links, so what this one showed cannot be seen');
    await told.getByRole('button', { name: 'Understood' }).click();
    await on(page);
    await untilKept(page, 'my bench', 2);
    await page.waitForFunction(() => location.hash === '#/turn');
    await page.reload();
    await page.getByRole('heading', { name: '2. Tilt it' }).waitFor();
  }, () => {
    delete window.DecompressionStream;
    delete window.CompressionStream;
  }));

test('a state too large for an address is kept, and that is said', () => {
  let noise = '';
  for (let seed = 1; noise.length < 500_000; seed = (seed * 48271) % 2147483647) noise += seed.toString(16);
  return person({ workshop: { metal: [{ id: 'niobium' }], name: noise } }, async (open) => {
    const page = await open(`${site.address}#/turn`);
    await alert(page, 'too large for an address').waitFor();
    await on(page);
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state')).chapter === 2);
    assert.equal(await page.evaluate(() => location.hash), '#/turn');
    await page.reload();
    await page.getByRole('heading', { name: '2. Tilt it' }).waitFor();
  });
});

test('links that are no sound state, or unpack to far too much, are refused and break nothing', () =>
  person(MINE, async (open) => {
    const coater = { name: 'arc', kind: 'arc', films: [null], thinnest_nm: 10 };
    const page = await open(link('shop', { workshop: { metal: [{ id: 'titanium' }], coater: [coater] } }));
    await alert(page, 'cut off or broken').waitFor();
    await page.getByRole('heading', { name: 'What this shop can do' }).waitFor();
    assert.deepEqual((await kept(page)).workshop, MINE.workshop);
    const bomb = `#/shop?s=${deflateRawSync(Buffer.alloc(60_000_000, 32), { level: 9 }).toString('base64url')}`;
    await page.evaluate((hash) => { location.hash = hash; }, bomb);
    await alert(page, 'holds more than any state').waitFor();
    await page.getByRole('heading', { name: 'What this shop can do' }).waitFor();
  }));

const file = (name, content) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(content) });
const SPECTRUM = 'wavelength_nm,reflectance_percent\n400,50\n700,60\n';
test('a spectrum that is dropped elsewhere is sent to Wanted, text in UTF-16 is asked for as UTF-8', () =>
  person({ ...MINE, chapter: 5 }, async (open) => {
    const page = await open(`${site.address}#/shop`);
    const give = async (label, given) => page.getByRole('group', { name: label }).locator('input[type=file]').first().setInputFiles(given);
    await page.getByText('Another bench, or your own file').click();
    await give('Read your own file (.toml)', file('ring.csv', SPECTRUM));
    await alert(page, 'ring.csv is a spectrum, and here goes a workshop (.toml): give it on the page Wanted').waitFor();
    await give('Read a part (.toml)', file('ring.csv', SPECTRUM));
    await alert(page, 'here goes a part').waitFor();
    await page.getByRole('link', { name: /Turn it/ }).click();
    await give('Read a finish (.toml)', file('ring.csv', SPECTRUM));
    await alert(page, 'here goes a finish').waitFor();
    await page.getByRole('link', { name: /^Run/ }).click();
    await give('Read a recipe (.toml)', file('ring.csv', SPECTRUM));
    await status(page, 'ring.csv is a spectrum: give it on the page Wanted').waitFor();
    await page.getByRole('link', { name: /Wanted/ }).click();
    await give('Read a spectrum (.csv)', file('wide.csv', Buffer.from(`\ufeff${SPECTRUM}`, 'utf16le')));
    await alert(page, 'save it as UTF-8').waitFor();
  }));

test('an engine that is half or missing is told of in plain words first', async () => {
  const whole = readFileSync(new URL('../engine/first_bg.wasm', import.meta.url));
  for (const [answer, words] of [
    [{ contentType: 'application/wasm', body: whole.subarray(0, whole.length / 2) }, /^The engine, which works out all colours, did not arrive whole.*\(The browser says: CompileError/],
    [{ contentType: 'text/plain', body: whole.subarray(0, whole.length / 2) }, /^The engine, which works out all colours, did not arrive whole.*\(The browser says: CompileError/],
    [{ status: 404, body: '' }, /^The engine, which works out all colours, could not be fetched.*status 404/],
  ]) {
    const context = await chrome.newContext();
    await context.route('**/*.wasm', (route) => route.fulfill(answer));
    const page = await context.newPage();
    await page.goto(site.address);
    const told = alert(page, 'The engine');
    await told.waitFor();
    assert.match((await told.textContent()).trim(), words);
    await context.close();
  }
});

test('the full engine is fetched by the pages that ask it, and by no other; where it is missing, the others work on', async () => {
  const fetched = async (hash, missing = false) => {
    const { page, context, faults } = await visit(chrome, `${site.address}#/library`);
    const seen = [];
    page.on('request', (request) => { const name = /(\w+)_bg-[^/]*\.wasm$/.exec(request.url()); if (name) seen.push(name[1]); });
    if (missing) await context.route('**/full*.wasm', (route) => route.fulfill({ status: 404, body: '' }));
    await page.goto(`${site.address}#/${hash}`);
    await page.reload();
    await page.locator('main h1').first().waitFor();
    await page.waitForLoadState('networkidle');
    return { page, context, faults, seen };
  };
  for (const hash of ['shop', 'wanted', 'turn', 'library']) {
    const { context, seen } = await fetched(hash);
    assert.deepEqual(seen, ['first'], hash);
    await context.close();
  }
  for (const hash of ['ways', 'run', 'chamber']) {
    const { context, seen } = await fetched(hash);
    assert.deepEqual(seen.sort(), ['first', 'full'], hash);
    await context.close();
  }
  const { page, context } = await fetched('run', true);
  await page.getByRole('button', { name: /blue to gold/i }).first().click();
  await alert(page, 'could not be fetched').waitFor();
  await page.getByRole('link', { name: /Turn it/ }).click();
  await turned(page);
  await context.close();
});

test('an engine that never arrives is told of after 15 seconds, until it comes', async () => {
  const context = await chrome.newContext();
  let deliver;
  const awaited = new Promise((come) => { deliver = come; });
  await context.route('**/*.wasm', async (route) => { await awaited; await route.continue(); });
  const page = await context.newPage();
  await page.clock.install();
  await page.goto(site.address);
  await page.getByText('The library is being opened.').waitFor();
  const told = status(page, 'has not arrived after 15 seconds');
  assert.equal(await told.count(), 0);
  await page.clock.fastForward(15_000);
  await told.waitFor();
  deliver();
  await told.waitFor({ state: 'detached' });
  await page.getByRole('heading', { name: 'Start from a bench' }).waitFor();
  await context.close();
});

test('a strip that takes long can be stopped, and drawn again', () =>
  person({ chapter: 1 }, async (open) => {
    const page = await open(`${site.address}#/turn`);
    await turned(page);
    await page.evaluate(() => { window.hold = true; });
    await page.getByRole('button', { name: 'Show everything' }).click();
    await page.getByLabel('Tilt').fill('40');
    await page.getByRole('button', { name: 'Stop' }).click();
    await status(page, 'It was stopped').waitFor();
    assert.ok((await page.evaluate(() => window.ended)) >= 1, 'the worker is ended');
    await page.evaluate(() => { window.hold = false; });
    const asked = await page.evaluate(() => window.asked);
    await page.getByRole('button', { name: 'Draw it again' }).click();
    await page.waitForFunction((before) => window.answered > before, asked);
    await status(page, 'It was stopped').waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Stop' }).waitFor({ state: 'detached' });
  }, () => {
    // Strips are held back as if they took for ever, as long as the test wants.
    window.ended = 0;
    window.asked = 0;
    window.answered = 0;
    const Plain = Worker;
    window.Worker = class extends Plain {
      constructor(...given) {
        super(...given);
        this.strips = new Set();
        this.addEventListener('message', ({ data }) => { if (this.strips.has(data.id) && 'answer' in data) window.answered = Math.max(window.answered, data.id); });
      }
      postMessage(message) {
        if (message.question === 'ribbon') {
          window.asked = message.id;
          this.strips.add(message.id);
          if (window.hold) return;
        }
        super.postMessage(message);
      }
      terminate() {
        window.ended += 1;
        super.terminate();
      }
    };
  }));

const bell = readFileSync(new URL('../../examples/bells/workshop.toml', import.meta.url), 'utf8');
test('nothing scrolls sideways on narrow screens, on any page', async () => {
  for (const width of [280, 320]) {
    const { page, context, faults } = await visit(chrome, `${site.address}#/shop`, { viewport: { width, height: 700 } });
    const fits = async (where) => {
      const over = await page.evaluate((most) => (document.documentElement.scrollWidth <= most ? [] : [...document.querySelectorAll('body *')].filter((e) => e.getBoundingClientRect().right > most + 0.5 && !e.closest('.scroll, .out')).map((e) => `${e.tagName}.${e.className} ${e.textContent.trim().slice(0, 40)}`)), width);
      assert.deepEqual(over.slice(-6), [], `${where} at ${width} pixels`);
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= width, `${where} at ${width} pixels`);
    };
    const to = async (word) => { await page.getByRole('navigation').getByRole('link', { name: word }).click(); };
    await page.getByRole('heading', { name: 'Start from a bench' }).waitFor();
    await fits('the first visit');
    await page.locator('input[type=file]').first().setInputFiles({ name: 'bells.toml', mimeType: 'text/plain', buffer: Buffer.from(bell) });
    await page.getByRole('heading', { name: 'What this shop can do' }).waitFor();
    await page.getByRole('button', { name: 'Describe a part' }).click();
    for (const summary of await page.locator('section[aria-labelledby=shop] li summary').all()) await summary.click();
    await page.getByText('Another bench, or your own file').click();
    await fits('My shop');
    for (const [name, mm] of [['Diameter', '30'], ['Thickness', '1']]) {
      const field = page.getByRole('region', { name: 'My part' }).getByRole('textbox', { name, exact: true });
      await field.fill(mm);
      await field.press('Tab');
    }
    await page.getByTestId('area').waitFor();
    await fits('My part');
    await to(/Wanted/);
    await page.getByRole('button', { name: 'blue', exact: true }).click();
    await page.getByTestId('wanted').waitFor();
    await page.getByRole('button', { name: 'Add a colour along the part' }).click();
    await page.getByText('A lamp of your own').click();
    await fits('Wanted');
    await to(/Ways/);
    await page.getByRole('heading', { name: /ways? to blue/ }).waitFor({ timeout: 120_000 });
    await page.locator('article, main li').first().waitFor();
    await fits('Ways');
    await page.getByRole('button', { name: 'Run it' }).first().click();
    await page.getByRole('button', { name: 'Begin' }).waitFor({ timeout: 120_000 });
    await page.getByRole('heading', { name: 'Two alike' }).waitFor();
    await fits('Run');
    await page.getByRole('button', { name: 'Begin' }).click();
    await page.locator('#run-here').waitFor();
    await fits('a step of Run');
    await to(/Turn it/);
    await page.getByRole('button', { name: 'Show everything' }).click();
    await page.getByLabel('Metal').waitFor();
    await page.getByRole('button', { name: 'Add a clear coat' }).click();
    for (const summary of await page.locator('main summary').all()) await summary.click();
    await fits('Turn it');
    await to(/Library/);
    await page.getByRole('heading', { name: /materials$/ }).waitFor();
    await page.locator('main li summary').first().click();
    await fits('Library');
    assert.deepEqual(faults, []);
    await context.close();
  }
});
