// Turn it: the story opens on one coupon and one slider, and everything moves together.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { mkdirSync } from 'node:fs';
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

async function on(action, options = {}, path = '#/turn') {
  const { page, context, faults } = await visit(chrome, `${site.address}${path}`, options);
  await page.locator('[data-testid=setting]').waitFor();
  try {
    await action(page, context);
    assert.deepEqual(faults, [], 'nothing is written to the console as an error');
  } finally {
    await context.close();
  }
}
const word = (page) => page.locator('[data-testid=word]').textContent();
const colour = (page) => page.locator('.coupon .swatch').evaluate((e) => e.style.getPropertyValue('--c'));
const everything = (page) => page.getByRole('button', { name: 'Show everything' }).click();

test('the story opens on one coupon and one slider, and each chapter adds', async () => {
  await on(async (page) => {
    assert.equal(await page.getByRole('slider').count(), 1, 'one slider');
    assert.equal(await page.getByLabel('Tilt').count(), 0);
    await page.getByRole('button', { name: 'Tilt it' }).click();
    assert.equal(await page.getByLabel('Tilt').count(), 1);
    await page.getByRole('button', { name: 'Change the surface' }).click();
    await page.getByLabel('Texture').waitFor();
    await page.getByRole('button', { name: 'Look inside' }).click();
    await page.getByRole('img', { name: /On titanium: titania-anodic, 48\.0 nm/ }).waitFor();
    await page.getByRole('button', { name: 'Choose everything' }).click();
    await page.getByLabel('Metal').waitFor();
    await page.screenshot({ path: join(shots, 'turn-everything.png'), fullPage: true });
  });
});

test('the strip turns by mouse, and word, colour, slice and spectrum follow', async () => {
  await on(async (page) => {
    await everything(page);
    await page.getByText(/Least \d+ % at \d+ nm/).waitFor();
    const before = { word: await word(page), colour: await colour(page), spectrum: await page.getByText(/Least \d+ % at/).textContent() };
    const strip = page.locator('[role=slider].strip');
    await strip.scrollIntoViewIfNeeded();
    const box = await strip.boundingBox();
    await page.mouse.move(box.x + 0.2 * box.width, box.y + 20);
    await page.mouse.down();
    await page.mouse.move(box.x + 0.48 * box.width, box.y + 20, { steps: 8 });
    await page.mouse.up();
    await page.waitForFunction((old) => document.querySelector('[data-testid=word]').textContent !== old, before.word);
    assert.notEqual(await colour(page), before.colour);
    await page.waitForFunction((old) => !document.body.textContent.includes(old), before.spectrum);
    const nm = Number((await page.locator('[data-testid=setting]').textContent()).split(' ')[0]);
    assert.ok(Math.abs(nm - 120) < 2, `0.48 of 250 nm is 120 nm, the page says ${nm}`);
    await page.getByRole('img', { name: new RegExp(`titania-anodic, ${nm.toFixed(1)} nm`) }).waitFor();
  });
});

test('keyboard alone: arrows, page keys, home and end; undo takes a whole drag back', async () => {
  await on(async (page) => {
    const strip = page.locator('[role=slider].strip');
    await strip.focus();
    const before = await strip.getAttribute('aria-valuenow');
    for (let i = 0; i < 5; i += 1) await page.keyboard.press('ArrowRight');
    const after = await strip.getAttribute('aria-valuenow');
    assert.ok(Number(after) > Number(before));
    assert.match(await strip.getAttribute('aria-valuetext'), /nm, \w+/);
    await page.keyboard.press('End');
    await page.waitForFunction(() => document.querySelector('[role=slider].strip').getAttribute('aria-valuenow') === '250');
    await page.keyboard.press('Control+z');
    await page.waitForFunction((b) => document.querySelector('[role=slider].strip').getAttribute('aria-valuenow') === b, before);
    await page.getByRole('button', { name: 'Redo' }).click();
    await page.waitForFunction(() => document.querySelector('[role=slider].strip').getAttribute('aria-valuenow') === '250');
  });
});

test('tilt, water, texture and unevenness move the colour', async () => {
  await on(async (page) => {
    await everything(page);
    const changed = async (act) => {
      const old = await colour(page);
      await act();
      await page.waitForFunction((o) => document.querySelector('.coupon .swatch').style.getPropertyValue('--c') !== o, old);
    };
    await changed(() => page.getByLabel('Tilt').fill('60'));
    await changed(() => page.getByLabel(/wet/).check());
    await changed(() => page.getByLabel('Texture').selectOption('blasted'));
    await changed(() => page.getByLabel(/Unevenness/).fill('10'));
    await changed(() => page.getByRole('combobox', { name: 'Light' }).selectOption('A'));
  });
});

test('volts are turned as the growth law has it, and a bath may have its own', async () => {
  await on(async (page) => {
    await everything(page);
    await page.getByLabel('What is turned').selectOption({ label: 'voltage of a bath, V' });
    await page.waitForFunction(() => / V:/.test(document.querySelector('[data-testid=setting]').textContent));
    await page.getByText(/thickness = 4 nm \+ 1\.95 nm\/V/).waitFor();
    await page.getByRole('combobox', { name: 'Bath' }).selectOption({ index: 1 });
    await page.locator('[role=slider].strip').focus();
    await page.keyboard.press('End');
    // 4 nm + 1.95 nm/V, the joined law of data/growth/titanium.toml, at the law's end.
    const volts = Number((await page.locator('[data-testid=setting]').textContent()).split(' ')[0]);
    assert.equal(volts, 110);
    await page.getByRole('img', { name: new RegExp(`titania-anodic, ${(4 + 1.95 * volts).toFixed(1)} nm`) }).waitFor();
  });
});

test('two films of one material are told apart, and both can be turned', async () => {
  await on(async (page) => {
    await everything(page);
    await page.getByRole('button', { name: 'Add a film' }).click();
    await page.getByRole('button', { name: 'Add a film' }).click();
    await page.getByLabel('Film 3').waitFor();
    const material = await page.getByLabel('Film 2').inputValue();
    const what = page.getByLabel('What is turned');
    const words = await what.locator('option').allTextContents();
    assert.ok(words.includes(`thickness of the second film, ${material}, nm`) && words.includes(`thickness of the third film, ${material}, nm`), words.join('; '));
    await what.selectOption({ label: `thickness of the second film, ${material}, nm` });
    await page.locator('[role=slider].strip').focus();
    await page.keyboard.press('End');
    await page.getByRole('img', { name: new RegExp(`${material}, 250\\.0 nm; then ${material}, 50\\.0 nm`) }).waitFor();
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').finish?.film?.[1]?.thickness_nm === 250);
    await page.reload();
    await page.getByRole('img', { name: new RegExp(`${material}, 250\\.0 nm; then`) }).waitFor();
  });
});

test('a finish is saved, and reads back the same; a broken one changes nothing', async () => {
  await on(async (page) => {
    await everything(page);
    await page.getByRole('button', { name: 'Add a clear coat' }).click();
    const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save the finish' }).click()]);
    const text = await readFile(await file.path(), 'utf8');
    assert.match(text, /material = "lacquer"/);
    const before = await colour(page);
    await page.getByRole('button', { name: 'Back to the coupon' }).click();
    await page.waitForFunction((o) => document.querySelector('.coupon .swatch').style.getPropertyValue('--c') !== o, before);
    const drop = page.getByLabel('Read a finish (.toml)').locator('input[type=file]').or(page.locator('input[type=file][accept*=toml]'));
    await drop.first().setInputFiles({ name: 'mine.toml', mimeType: 'text/plain', buffer: Buffer.from(text) });
    await page.waitForFunction((o) => document.querySelector('.coupon .swatch').style.getPropertyValue('--c') === o, before);
    await drop.first().setInputFiles({ name: 'broken.toml', mimeType: 'text/plain', buffer: Buffer.from('schema = 1\n[base]\nmaterial = "titanum"\n') });
    const alert = await page.getByRole('alert').first().textContent();
    assert.match(alert, /broken\.toml, line 3, base\.material.*titanium/);
    assert.equal(await colour(page), before);
    await drop.first().setInputFiles({ name: 'photo.png', mimeType: 'image/png', buffer: Buffer.from([0x89, 0x50, 0x4e, 0x47, 0xff, 0xfe]) });
    await page.getByText('photo.png is not a text file').waitFor();
  });
});

test('a spectrum is exported as CSV, SVG and PNG', async () => {
  await on(async (page) => {
    await everything(page);
    const chart = page.locator('figure', { hasText: 'What comes back' });
    await chart.getByText('Table and files').click();
    await chart.locator('tbody tr').first().waitFor();
    assert.equal(await chart.locator('tbody tr').count(), 81, '380 to 780 nm in steps of 5');
    const take = async (name) => {
      const [file] = await Promise.all([page.waitForEvent('download'), chart.getByRole('button', { name }).click()]);
      return readFile(await file.path());
    };
    assert.match(String(await take('Save CSV')), /^wavelength_nm,reflectance_percent\n380,/);
    assert.match(String(await take('Save SVG')), /^<svg[^]*reflectance, %/);
    assert.deepEqual([...(await take('Save PNG')).subarray(1, 4)], [...Buffer.from('PNG')]);
  });
});

test('a link shows what its sender saw; a cut link does no harm', async () => {
  let link = '';
  let sent = '';
  await on(async (page) => {
    await page.locator('[role=slider].strip').focus();
    await page.keyboard.press('PageUp');
    const first = await page.evaluate(() => location.hash);
    await page.waitForFunction((old) => location.hash.includes('?s=') && location.hash !== old, first);
    link = await page.evaluate(() => location.hash);
    sent = await page.locator('[data-testid=setting]').textContent();
  });
  await on(async (page) => assert.equal(await page.locator('[data-testid=setting]').textContent(), sent), {}, link);
  await on(async (page) => assert.match(await page.locator('[data-testid=setting]').textContent(), /48\.0 nm/), {}, link.slice(0, -20));
});

test('back leads to the page before and takes no work back; a foreign link can be undone', async () => {
  let foreign = '';
  await on(async (page) => {
    await page.locator('[role=slider].strip').focus();
    await page.keyboard.press('End');
    await page.waitForFunction(() => location.hash.includes('?s='));
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('huewright-state') ?? '{}').finish?.film?.[0]?.thickness_nm === 250);
    await page.waitForFunction((old) => (window.seen ??= location.hash) && location.hash !== old, '#/turn');
    foreign = await page.evaluate(() => location.hash);
    await page.getByRole('link', { name: /Library/ }).click();
    await page.getByRole('heading', { name: /materials$/ }).waitFor();
    await page.goBack();
    await page.waitForFunction(() => document.querySelector('[data-testid=setting]')?.textContent.startsWith('250'));
  });
  await on(async (page) => {
    await page.locator('[role=slider].strip').focus();
    await page.keyboard.press('ArrowRight');
    await page.waitForFunction(() => document.querySelector('[data-testid=setting]').textContent.startsWith('49'));
    await page.evaluate((hash) => { location.hash = hash; }, foreign);
    await page.waitForFunction(() => document.querySelector('[data-testid=setting]').textContent.startsWith('250'));
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.waitForFunction(() => document.querySelector('[data-testid=setting]').textContent.startsWith('49'));
  });
});

test('text with a unit is shown as the engine reads it', async () => {
  await on(async (page) => {
    await everything(page);
    const text = 'schema = 1\n[base]\nmaterial = "titanium"\n[[film]]\nmaterial = "titania-anodic"\nthickness_nm = "0.05 um"\nspread = "4 %"\n';
    await page.getByRole('group', { name: 'Read a finish (.toml)' }).locator('input[type=file]').setInputFiles({ name: 'mine.toml', mimeType: 'text/plain', buffer: Buffer.from(text) });
    await page.waitForFunction(() => document.querySelector('[data-testid=setting]').textContent.startsWith('50.0 nm'));
    await page.getByRole('img', { name: /titania-anodic, 50\.0 nm/ }).waitFor();
    assert.equal(await page.getByLabel(/Unevenness/).inputValue(), '4');
  });
});

test('volts come with their cautions, a broken link with a word', async () => {
  await on(async (page) => {
    await everything(page);
    assert.equal(await page.getByText(/Cautions up to/).count(), 0, 'a thickness names no route');
    await page.getByLabel('What is turned').selectOption({ label: 'voltage of a bath, V' });
    const box = page.getByRole('region', { name: 'Cautions up to 110 V' });
    await box.waitFor();
    assert.match(await box.textContent(), /60 V/);
  });
  await on(async (page) => page.getByRole('alert').filter({ hasText: 'This link is cut off' }).waitFor(), {}, '#/turn?s=abc');
});

test('nothing scrolls sideways at 360 pixels, and targets are large enough for gloves', async () => {
  await on(
    async (page) => {
      await everything(page);
      await page.getByLabel('Metal').waitFor();
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= 360);
      const small = await page.locator('button:visible, select:visible, main input[type=range]:visible').evaluateAll((list) => list.filter((e) => e.getBoundingClientRect().height < 44).map((e) => e.outerHTML.slice(0, 80)));
      assert.deepEqual(small, [], 'targets lower than 44 pixels');
    },
    { viewport: { width: 360, height: 740 } },
  );
});
