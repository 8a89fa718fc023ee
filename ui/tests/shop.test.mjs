// The page My shop, my part, used as a person would. node --test tests/shop.test.mjs, after `npm run build`.
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { browser, host, shots, visit } from './browser.mjs';

let site;
let chrome;
before(async () => {
  mkdirSync(shots, { recursive: true });
  site = await host();
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  site?.close();
});

/** Opens the page, lets `use` work it, and fails when anything was written to the console as an error. */
async function shop(use, options) {
  const { page, context, faults } = await visit(chrome, `${site.address}#/shop`, options);
  await page.getByRole('heading', { name: 'Start from a bench' }).waitFor();
  try {
    await use(page);
    assert.deepEqual(faults, []);
  } finally {
    await context.close();
  }
}
const bench = async (page, name) => {
  await page.getByRole('button', { name }).click();
  await page.getByRole('heading', { name: 'What this shop can do' }).waitFor();
};
const open = (page, row) => page.locator('summary', { hasText: row }).click();
// Rows, and not what opens inside of one.
const list = (page, name) => page.getByRole('region', { name, exact: true }).locator('summary:not(details details summary)');
const give = async (field, text) => {
  await field.fill(text);
  await field.press('Tab');
};
const file = (name, text) => ({ name, mimeType: 'text/plain', buffer: Buffer.from(text) });
async function download(page, button) {
  const waited = page.waitForEvent('download');
  await page.getByRole('button', { name: button }).click();
  const got = await waited;
  return { name: got.suggestedFilename(), text: readFileSync(await got.path(), 'utf8') };
}

test('the first visit teaches, and the kitchen bench gives a shop', () =>
  shop(async (page) => {
    assert.match(await page.locator('main').innerText(), /how likely the colour lands/);
    assert.equal(await page.locator('h1').count(), 1);
    for (const card of ['Kitchen table', 'Jeweller', 'School bench', 'Coating shop', 'Bell workshop']) {
      assert.match(await page.getByRole('button', { name: card }).innerText(), /Invented/, `${card} says that it is invented`);
    }
    await bench(page, /Kitchen table/);
    assert.deepEqual(await list(page, 'Metals').allInnerTexts(), ['titanium 600 grit']);
    assert.match(await page.getByRole('region', { name: 'What this shop can do' }).innerText(), /titanium up to 30 V with small bench supply/);
    await page.screenshot({ path: join(shots, 'shop-kitchen.png'), fullPage: true });
  }));

test('the link for beginners leads to one coupon and one slider', () =>
  shop(async (page) => {
    await page.getByRole('link', { name: /one coupon and one slider/ }).click();
    await page.getByRole('heading', { name: 'Turn it', level: 1 }).waitFor();
  }));

test('a wrong quantity names the allowed range, and nothing else is saved in its place', () =>
  shop(async (page) => {
    await bench(page, /Kitchen table/);
    await open(page, 'small bench supply');
    const volts = page.getByRole('textbox', { name: 'Greatest voltage' });
    await give(volts, '900');
    const told = page.getByRole('alert').filter({ hasText: '900 V' });
    await told.waitFor();
    assert.match(await told.innerText(), /allowed is 1 to 400 V/);
    let downloads = 0;
    page.on('download', () => (downloads += 1));
    await page.getByRole('button', { name: 'Save as a file' }).click();
    await page.getByText(/Not saved: "900"/).waitFor();
    assert.equal(downloads, 0);
    assert.equal(await volts.evaluate((field) => field === document.activeElement), true, 'the field has the focus');
    assert.match((await list(page, 'Supplies').allInnerTexts())[1], /up to 30 V/, 'the state is unchanged');
    await page.screenshot({ path: join(shots, 'shop-refused.png'), fullPage: true });
    await give(volts, '24');
    await told.waitFor({ state: 'detached' });
    const saved = await download(page, 'Save as a file');
    assert.match(saved.text, /max_voltage_v = 24/);
  }));

test('a temperature in F is taken and told in C', () =>
  shop(async (page) => {
    await bench(page, /Kitchen table/);
    await open(page, 'jar of fertiliser salt');
    await give(page.getByRole('textbox', { name: 'Temperature' }), '80 F');
    // (80 - 32) 5/9 = 26.667 C, the definition of the scale.
    await page.getByText('= 26.667 C').waitFor();
    const saved = await download(page, 'Save as a file');
    assert.match(saved.text, /temperature_c = "80 F"/);
  }));

test('a fault of the whole file is told at the top and beside its field', () =>
  shop(async (page) => {
    await bench(page, /Coating shop/);
    await open(page, 'arc machine');
    await give(page.getByRole('textbox', { name: 'Thickest film' }), '100');
    const top = page.locator('.fault');
    await top.waitFor();
    assert.match(await top.innerText(), /coater\[1\]\.thickest_nm.*less than thinnest_nm, 300 nm/s);
    assert.match(await page.locator('[data-path="coater[1].thickest_nm"]').innerText(), /less than thinnest_nm/);
    await page.getByRole('button', { name: 'Undo' }).click();
    await top.waitFor({ state: 'detached' });
    await page.getByRole('region', { name: 'Metals' }).locator('summary').click();
    await give(page.getByRole('combobox', { name: 'Surface (texture)' }), 'shiny');
    await page.locator('[data-path="metal[1].texture"] .bad').waitFor();
    await page.getByRole('region', { name: 'Metals' }).locator('summary').click();
    await page.getByRole('button', { name: 'Show the field' }).click();
    assert.equal(await page.evaluate(() => document.activeElement?.value), 'shiny');
  }));

test('an unfit bath says why', () =>
  shop(async (page) => {
    await bench(page, /Kitchen table/);
    await open(page, 'jar of fertiliser salt');
    await page.getByLabel('What is in it').selectOption({ label: 'table salt' });
    await page.getByText(/Unfit for colour: chloride pits the metal/).waitFor();
    assert.match(await page.getByRole('region', { name: 'What this shop can do' }).innerText(), /Anodise not yet: it needs a bath fit for colour/);
  }));

test('add, duplicate, remove, and bring it back', () =>
  shop(async (page) => {
    await bench(page, /Bell workshop/);
    await open(page, 'citric jar');
    const baths = page.getByRole('region', { name: 'Baths' });
    await baths.getByRole('button', { name: 'Duplicate citric jar' }).click();
    assert.deepEqual(await list(page, 'Baths').locator('b').allInnerTexts(), ['citric jar', 'citric jar 2', 'sulfate jar']);
    await baths.getByRole('button', { name: 'Remove citric jar', exact: true }).click();
    assert.deepEqual(await list(page, 'Baths').locator('b').allInnerTexts(), ['citric jar 2', 'sulfate jar']);
    await baths.getByRole('button', { name: 'Bring it back' }).click();
    assert.deepEqual(await list(page, 'Baths').locator('b').allInnerTexts(), ['citric jar', 'citric jar 2', 'sulfate jar']);
    assert.match((await list(page, 'Baths').allInnerTexts())[0], /citric acid, 1 %, 68 F/);
    await page.getByRole('button', { name: 'Add a coater' }).click();
    assert.equal(await list(page, 'Coaters').count(), 3);
    await page.getByRole('button', { name: 'Undo' }).click();
    assert.equal(await list(page, 'Coaters').count(), 2);
  }));

test('a broken file gives one clear error with its line and changes nothing', () =>
  shop(async (page) => {
    await bench(page, /Kitchen table/);
    await page.getByText('Another bench, or your own file').click();
    const before = await page.locator('.two').first().locator('.sheet').first().innerText();
    const input = page.locator('input[type=file]').first();
    for (const [name, text, wanted] of [
      ['broken.toml', 'schema = 1\n\n[[metal]\nid = "titanium"\n', /broken\.toml.*line 3|broken\.toml:3/s],
      ['odd.toml', 'schema = 1\n[[metal]]\nid = "unobtainium"\n', /odd\.toml.*unobtainium/s],
      ['volts.toml', 'schema = 1\n[[metal]]\nid = "titanium"\n[[anodiser]]\nname = "x"\nkind = "regulated"\nmax_voltage_v = "900 V"\n', /volts\.toml.*allowed is 1 to 400 V/s],
    ]) {
      await input.setInputFiles(file(name, text));
      const alert = page.getByRole('alert').filter({ hasText: name });
      await alert.waitFor();
      assert.match(await alert.innerText(), wanted);
      assert.equal(await page.getByRole('alert').count(), 1, 'one error');
      assert.equal(await page.locator('.two').first().locator('.sheet').first().innerText(), before);
    }
    await input.setInputFiles({ name: 'picture.toml', mimeType: 'image/png', buffer: Buffer.from([0x89, 0x50, 0xff, 0xfe, 0x00]) });
    await page.getByRole('alert').filter({ hasText: 'picture.toml is not a text file' }).waitFor();
    assert.equal(await page.locator('.two').first().locator('.sheet').first().innerText(), before);
  }));

test('what is saved reads back as the same shop', () =>
  shop(async (page) => {
    await bench(page, /Bell workshop/);
    await open(page, 'kiln');
    await give(page.getByRole('textbox', { name: 'Greatest temperature' }), '650');
    await list(page, 'Ovens and kilns').filter({ hasText: 'up to 650 C' }).waitFor();
    const saved = await download(page, 'Save as a file');
    assert.match(saved.name, /^bell-workshop.*\.toml$/);
    const rows = () => page.locator('.two').first().locator('summary').allInnerTexts();
    const before = await rows();
    await page.getByText('Another bench, or your own file').click();
    await bench(page, /School bench/);
    await list(page, 'Metals').filter({ hasText: 'niobium' }).waitFor();
    assert.notDeepEqual(await rows(), before);
    await page.getByText('Another bench, or your own file').click();
    await page.locator('input[type=file]').first().setInputFiles(file('back.toml', saved.text));
    await list(page, 'Ovens and kilns').filter({ hasText: 'up to 650 C' }).waitFor();
    assert.deepEqual(await rows(), before);
    await page.getByText('Another bench, or your own file').waitFor();
    assert.equal((await download(page, 'Save as a file')).text, saved.text);
  }));

test('how a chamber is built stays with its coater, and can be told in the form', () =>
  shop(async (page) => {
    await bench(page, /Bell workshop/);
    await page.getByText('Another bench, or your own file').click();
    const text = 'schema = 1\n[[metal]]\nid = "titanium"\n[[coater]]\nname = "mine"\nkind = "sputter"\nfilms = ["tin"]\nthinnest_nm = 10\n[coater.load]\nrotation = 1\nrpm = 3\ntable_radius_mm = 250\nheight_mm = 400\n[[coater.target]]\nbearing_deg = 0\naxis_mm = 380\ntrack_height_mm = 500\ntrack_width_mm = 80\n[[coater.gas]]\ngas = "nitrogen"\nfilm = "tin"\n[[coater.gas.colour]]\nflow_sccm = 9\nlab = [73.0, 4.0, 31.0]\n[[coater.gas.colour]]\nflow_sccm = 12\nlab = [70.0, 7.0, 33.0]\n';
    await page.locator('input[type=file]').first().setInputFiles(file('mine.toml', text));
    await open(page, 'mine');
    await give(page.getByRole('textbox', { name: 'Thinnest film' }), '12');
    const saved = await download(page, 'Save as a file');
    assert.match(saved.text, /thinnest_nm = 12[^]*\[coater\.load\]\nrotation = 1[^]*\[\[coater\.target\]\]\nbearing_deg = 0[^]*\[\[coater\.gas\.colour\]\]\nflow_sccm = 9/);
    await page.getByText('a reactive gas came with the file').waitFor();
    await page.getByLabel('How the load turns').selectOption('2');
    const fault = page.locator('.fault');
    await fault.filter({ hasText: 'satellite_radius_mm' }).waitFor();
    await give(page.getByRole('textbox', { name: 'Axis of a satellite to its parts' }), '60');
    await fault.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Add a target' }).click();
    await give(page.getByRole('textbox', { name: 'Bearing around the chamber' }).last(), '180');
    const again = await download(page, 'Save as a file');
    assert.match(again.text, /rotation = 2[^]*satellite_radius_mm = 60[^]*bearing_deg = 0[^]*bearing_deg = 180/);
    await page.getByLabel('How the load turns').selectOption('');
    await page.getByText('Its chamber, if it is known').waitFor();
  }));

test('a shop is kept under a name, opened, and removed after a second word', () =>
  shop(async (page) => {
    await bench(page, /School bench/);
    await page.getByLabel('Keep under the name').first().fill('room 12');
    await page.getByRole('button', { name: 'Keep', exact: true }).first().click();
    await page.getByText('Kept "room 12"').waitFor();
    await page.getByRole('button', { name: 'Keep', exact: true }).first().click();
    await page.getByText('"room 12" is kept already').waitFor();
    await page.getByRole('button', { name: 'Leave it' }).click();
    await page.getByText('Another bench, or your own file').click();
    await bench(page, /Coating shop/);
    await page.getByRole('button', { name: 'Open room 12' }).click();
    await list(page, 'Metals').filter({ hasText: 'niobium' }).waitFor();
    await page.getByRole('button', { name: 'Remove room 12' }).click();
    await page.getByText('Remove it for good?').waitFor();
    await page.getByRole('button', { name: 'Remove room 12', exact: true }).click();
    await page.getByText('"room 12" is no longer kept').waitFor();
    assert.equal(await page.getByRole('button', { name: 'Open room 12' }).count(), 0);
  }));

test('the area of a disc is that of the closed form, and of twelve twelve times that', () =>
  shop(async (page) => {
    await bench(page, /Bell workshop/);
    await page.getByRole('button', { name: 'Describe a part' }).click();
    await page.getByText('Still to give: diameter, thickness').waitFor();
    await give(page.getByRole('textbox', { name: 'Diameter', exact: true }), '58');
    await give(page.getByRole('textbox', { name: 'Thickness', exact: true }), '1 mm');
    const area = page.getByTestId('area');
    await area.waitFor();
    const [d, t] = [58, 1];
    const expected = (Math.PI * d * d) / 2 + Math.PI * d * t; // mm2: both faces and the edge
    assert.ok(Math.abs(Number(await area.innerText()) - expected / 100) <= 0.005, `${await area.innerText()} cm2 and ${expected / 100}`);
    await give(page.getByRole('textbox', { name: 'How many alike' }), '12');
    await page.getByText('for 12 alike').waitFor();
    assert.ok(Math.abs(Number(await area.innerText()) - (12 * expected) / 100) <= 0.05);
    await page.getByRole('img', { name: /disc, not to scale: diameter 58 mm, thickness 1 mm/ }).waitFor();
    await page.screenshot({ path: join(shots, 'shop-part.png'), fullPage: true });
    const saved = await download(page, 'Save the part');
    assert.match(saved.text, /kind = "disc"/);
    await page.getByRole('button', { name: 'Put it away' }).click();
    await page.locator('input[type=file]').last().setInputFiles(file('disc.toml', saved.text));
    await area.waitFor();
    assert.ok(Math.abs(Number(await area.innerText()) - (12 * expected) / 100) <= 0.05);
  }));

test('every shape gets an area; weight and gauge do too; impossible measures are refused beside the field', () =>
  shop(async (page) => {
    await bench(page, /Kitchen table/);
    await page.getByRole('button', { name: 'Describe a part' }).click();
    const area = page.getByTestId('area');
    const pi = Math.PI;
    // Closed forms in mm2; the dome is a spherical cap, pi (a^2 + h^2) on each side.
    const shapes = [
      ['sheet', { Length: 100, Width: 50, Thickness: 2 }, 2 * (100 * 50 + 100 * 2 + 50 * 2)],
      ['ring', { 'Outer diameter': 20, 'Inner diameter': 18, 'Width, along the finger': 5 }, pi * (20 + 18) * 5 + 2 * (pi / 4) * (400 - 324)],
      ['tube', { 'Outer diameter': 20, 'Inner diameter': 18, Length: 50 }, pi * (20 + 18) * 50 + 2 * (pi / 4) * (400 - 324)],
      ['wire', { Diameter: 2, Length: 100 }, pi * 2 * 100 + 2 * (pi / 4) * 4],
      ['dome', { 'Diameter of the rim': 58, Height: 20 }, 2 * pi * (29 * 29 + 20 * 20)],
      ['box', { Length: 10, Width: 20, Height: 30 }, 2 * (200 + 300 + 600)],
      ['ball', { Diameter: 12 }, pi * 144],
    ];
    for (const [shape, lengths, mm2] of shapes) {
      await page.getByLabel('Shape').selectOption({ label: shape });
      for (const [name, value] of Object.entries(lengths)) await give(page.getByRole('textbox', { name, exact: true }), String(value));
      const shown = Number((mm2 / 100).toPrecision(4));
      await page.waitForFunction(([wanted]) => Number(document.querySelector('[data-testid=area]')?.textContent) === wanted, [shown], { timeout: 5000 }).catch(async () => assert.fail(`${shape}: ${await area.innerText().catch(() => 'no area')} cm2, wanted ${shown}`));
    }
    await page.getByLabel('Shape').selectOption({ label: 'ring' });
    await give(page.getByRole('textbox', { name: 'Width, along the finger', exact: true }), '5');
    await give(page.getByRole('textbox', { name: 'Outer diameter', exact: true }), '18');
    await give(page.getByRole('textbox', { name: 'Inner diameter', exact: true }), '20');
    await page.locator('[data-path="shape.inner_diameter_mm"] .bad').waitFor();
    assert.match(await page.locator('[data-path="shape.inner_diameter_mm"]').innerText(), /not less than/);
    assert.equal(await area.count(), 0, 'no area beside an error');
    await page.getByLabel('Known from').selectOption('weighed');
    await give(page.getByRole('textbox', { name: 'Weight of one' }), '6.2 g');
    await page.getByLabel('Thickness of the sheet given as').selectOption('gauge');
    await give(page.getByRole('textbox', { name: 'Gauge', exact: true }), '24');
    await area.waitFor();
    // 24 gauge of Brown & Sharpe is 0.0201 in (ASTM B258); titanium 4.51 g/cm3 as in our register: 2 m / (rho t).
    const expected = (2 * 6.2) / (4.51 * 0.0201 * 2.54);
    assert.ok(Math.abs(Number(await area.innerText()) / expected - 1) < 0.002, `${await area.innerText()} and ${expected}`);
  }));

test('a link brings the same shop to another browser', () =>
  shop(async (page) => {
    await page.waitForFunction(() => location.hash.includes('?s='));
    const empty = page.url();
    await bench(page, /Jeweller/);
    await page.waitForFunction((old) => location.href !== old, empty);
    const address = page.url();
    const other = await visit(chrome, address);
    await list(other.page, 'Metals').first().waitFor();
    assert.deepEqual(await list(other.page, 'Metals').allInnerTexts(), await list(page, 'Metals').allInnerTexts());
    assert.deepEqual(other.faults, []);
    await other.context.close();
  }));

test('narrow and wide, nothing scrolls sideways and every target is tall enough', async () => {
  for (const width of [360, 1600]) {
    await shop(
      async (page) => {
        const fits = async () => assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= width, `${width} pixels`);
        await fits();
        await bench(page, /Bell workshop/);
        for (const row of ['bench supply', 'contract magnetron', 'citric jar', 'kiln']) await open(page, row);
        await page.getByRole('button', { name: 'Describe a part' }).click();
        await fits();
        const low = await page.evaluate(() => [...document.querySelectorAll('main :is(button, select, summary, input[type=text])')].filter((e) => e.offsetParent && e.getBoundingClientRect().height < 2.85 * 16).map((e) => e.textContent || e.id));
        assert.deepEqual(low, []);
        await page.screenshot({ path: join(shots, `shop-open-${width}.png`), fullPage: true });
      },
      { viewport: { width, height: 900 }, colorScheme: width === 360 ? 'dark' : 'light' },
    );
  }
});

test('with the keyboard alone: a bench, a metal, a wanted name', () =>
  shop(async (page) => {
    const focused = () => page.evaluate(() => { const e = document.activeElement; return (e?.getAttribute('aria-label') ?? e?.textContent ?? '').trim(); });
    const reach = async (pattern) => {
      for (let i = 0; i < 120; i += 1) {
        if (pattern.test(await focused())) return;
        await page.keyboard.press('Tab');
      }
      assert.fail(`${pattern} is not reached with Tab; the focus is on ${await focused()}`);
    };
    await reach(/^Jeweller/);
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'What this shop can do' }).waitFor();
    await page.waitForFunction(() => document.activeElement?.id === 'shop');
    await reach(/^Add a metal$/);
    await page.keyboard.press('Space');
    assert.equal(await list(page, 'Metals').count(), 3);
    assert.equal(await page.evaluate(() => document.activeElement?.tagName), 'SELECT', 'the new row has the focus');
    await page.keyboard.type('zirc');
    await page.keyboard.press('Tab');
    assert.match((await list(page, 'Metals').allInnerTexts())[2], /zirconium/);
    await page.locator('body').evaluate(() => document.activeElement?.blur());
    await reach(/^2\s*Wanted/);
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Wanted', level: 1 }).waitFor();
    await reach(/^teal$/);
    await page.keyboard.press('Enter');
    await page.getByTestId('wanted').waitFor();
    assert.equal(await page.getByTestId('wanted').innerText(), 'teal');
    assert.equal(await focused(), 'teal', 'the focus stays where it was');
  }));

test('what a workshop file says of a chamber, and of a heat treatment, is kept through forms, reload and saving', () =>
  shop(async (page) => {
    const told = `schema = 1
name = "chambers"
[[metal]]
id = "titanium"
tempered_c = 200
[[coater]]
name = "magnetron"
kind = "sputter"
films = ["tin"]
thinnest_nm = 10
shutter_s = 0.5
pressure_pa = "3 mTorr"
[coater.load]
rotation = 2
rpm = 3
table_radius_mm = 250
satellite_radius_mm = 60
height_mm = 200
[[coater.target]]
bearing_deg = 120
axis_mm = 380
track_height_mm = 700
track_width_mm = 80
groove_mm = 4
[[coater.gas]]
gas = "nitrogen"
film = "tin"
current_a = 8
up_sccm_v = [[2, 420], [4, 417], [8, 408], [12, 392], [13, 355]]
down_sccm_v = [[13, 351], [10, 353], [7, 357], [6, 412], [4, 417]]
[[coater.gas.colour]]
flow_sccm = 9
lab = [73, 4, 31]
`;
    await page.locator('input[type=file]').first().setInputFiles(file('chambers.toml', told));
    await page.getByRole('heading', { name: 'What this shop can do' }).waitFor();
    await open(page, 'magnetron');
    await give(page.getByRole('textbox', { name: 'Thinnest film' }), '12');
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').workshop?.coater?.[0].thinnest_nm === 12);
    await page.reload();
    await page.getByRole('heading', { name: 'What this shop can do' }).waitFor();
    const { text } = await download(page, 'Save as a file');
    for (const key of ['thinnest_nm = 12', 'tempered_c = 200', 'shutter_s = 0.5', 'pressure_pa = "3 mTorr"', 'rotation = 2', 'satellite_radius_mm = 60', 'bearing_deg = 120', 'groove_mm = 4', 'gas = "nitrogen"', 'flow_sccm = 9']) assert.ok(text.includes(key), `${key} in\n${text}`);
    for (const table of ['coater.load', 'coater.target', 'coater.gas', 'coater.gas.colour']) assert.match(text, new RegExp(`\\[\\[?${table.replaceAll('.', '\\.')}\\]`), table);
    assert.match(text, /up_sccm_v = \[\s*\[\s*2,\s*420,?\s*\]/);
  }));
