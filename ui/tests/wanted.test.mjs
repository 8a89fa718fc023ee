// The page Wanted, used as a person would. node --test tests/wanted.test.mjs, after `npm run build`.
import assert from 'node:assert/strict';
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

async function wanted(use, options) {
  const { page, context, faults } = await visit(chrome, `${site.address}#/wanted`, options);
  await page.getByRole('button', { name: 'deep blue' }).waitFor();
  try {
    await use(page);
    assert.deepEqual(faults, []);
  } finally {
    await context.close();
  }
}
const type = async (page, text) => {
  await page.getByLabel('Colour, as you have it').fill(text);
  await page.getByRole('button', { name: 'Take it' }).click();
};
const known = (page) => page.locator('.known');
const file = (name, buffer) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(buffer) });
const drop = (page, name, buffer) => page.getByRole('group', { name: /spectrum/i }).locator('input[type=file]').setInputFiles(file(name, buffer));
const order = (page) => page.getByRole('group', { name: 'Wanted colours along the part' }).locator('.word').evaluateAll((all) => all.map((e) => e.firstChild.textContent));

/** A perfect grey of half the light: Lab (76.07, 0, 0) by the definition L* = 116 (Y/Yn)^(1/3) - 16 of ISO/CIE 11664-4. */
const HALF_GREY = `wavelength_nm,reflectance\n${Array.from({ length: 37 }, (_, i) => `${380 + 10 * i},0.5`).join('\n')}\n`;

test('the empty page teaches what each way is worth, the spectrum first and the word last', () =>
  wanted(async (page) => {
    assert.equal(await page.locator('h1').count(), 1);
    const ways = await page.locator('.empty li').allInnerTexts();
    assert.match(ways[0], /spectrum says most/);
    assert.match(ways.at(-1), /trade name says least/);
    await page.screenshot({ path: join(shots, 'wanted-empty.png'), fullPage: true });
  }));

test('a trade name is taken from the board, and says how unsure it is', () =>
  wanted(async (page) => {
    const name = page.getByRole('button', { name: 'deep blue' });
    await name.click();
    await known(page).getByText('How sure').waitFor();
    assert.match(await known(page).innerText(), /a trade word/);
    assert.match(await page.getByTestId('unsure').innerText(), /half of the colours that bear the word lie further than \d/);
    assert.equal(await name.getAttribute('aria-pressed'), 'true');
    await page.screenshot({ path: join(shots, 'wanted-name.png'), fullPage: true });
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('heading', { name: 'Which colour do you want?' }).waitFor();
  }));

test('numbers and hex are taken as given; what is no colour is refused and changes nothing', () =>
  wanted(async (page) => {
    await type(page, 'lab(36, 6, -44)');
    await known(page).getByText('lab(36, 6, -44)').waitFor();
    assert.match(await known(page).innerText(), /36\.0[\s\S]*\+6\.0[\s\S]*−44\.0/);
    // The blue of sRGB has L* 32.3, a* 79.2, b* -107.9 under D65 (by the matrix and curve of IEC 61966-2-1).
    await type(page, '#0000ff');
    await known(page).getByText('#0000ff', { exact: false }).first().waitFor();
    assert.match(await known(page).innerText(), /32\.3[\s\S]*\+79\.2[\s\S]*−107\.9/);
    const before = await known(page).innerText();
    for (const [text, told] of [['bleu', /did you mean 'blue'/], ['#12345', /six digits/], ['lab(200, 0, 0)', /L\* from 0 to 100/], ['', /Nothing is typed/]]) {
      await type(page, text);
      await page.getByRole('alert').filter({ hasText: told }).waitFor();
      assert.equal(await page.getByRole('alert').count(), 1);
      assert.equal(await known(page).innerText(), before);
    }
  }));

test('a colour that no screen shows is marked and said', () =>
  wanted(async (page) => {
    await type(page, 'lab(50, 100, 60)');
    await known(page).getByText(/Beyond what/).waitFor();
    assert.match(await known(page).innerText(), /\(nearest\)/);
    await type(page, 'lab(50, 5, 5)');
    await known(page).getByText(/Beyond what/).waitFor({ state: 'detached' });
  }));

test('the colour of the screen is taken from the browser\u2019s own choice', () =>
  wanted(async (page) => {
    await page.getByLabel('Choose by eye').fill('#27509b');
    await known(page).getByText('a screen colour').waitFor();
    assert.match(await known(page).innerText(), /#27509b/);
  }));

test('a spectrum is read; the light changes what it looks like only as it must', () =>
  wanted(async (page) => {
    const rising = ['wavelength_nm,reflectance', ...Array.from({ length: 41 }, (_, i) => `${380 + 10 * i},${(0.1 + 0.015 * i).toFixed(3)}`)].join('\n');
    await drop(page, 'rising.csv', Buffer.from(rising));
    await known(page).getByText('a measured spectrum').waitFor();
    const lightness = async () => Number(/L\*\s*([\d.]+)/.exec(await known(page).innerText())[1]);
    const before = await lightness();
    await page.getByRole('combobox', { name: /^Light/ }).selectOption('A');
    // Lamp A is rich in red: what reflects more red looks lighter in it.
    await page.waitForFunction((old) => Number(/L\*\s*([\d.]+)/.exec(document.querySelector('.known').innerText)?.[1]) > old, before);
    // A spectrum without slope is neutral in every light.
    await drop(page, 'half grey.csv', HALF_GREY);
    await page.waitForFunction(() => /L\*\s*76\.1/.test(document.querySelector('.known').innerText));
    assert.match(await known(page).innerText(), /L\*\s*76\.1\s*a\*\s*[+−]0\.0\s*b\*\s*[+−]0\.0/);
    await page.screenshot({ path: join(shots, 'wanted-spectrum.png'), fullPage: true });
  }));

test('a corrupt drop gives one clear error and keeps everything', () =>
  wanted(async (page) => {
    await drop(page, 'good.csv', HALF_GREY);
    await known(page).getByText('a measured spectrum').waitFor();
    const before = await known(page).innerText();
    for (const [name, bytes, told] of [
      ['binary.csv', [0xff, 0xfe, 0x00, 0x81, 0x42], /binary\.csv is not a text file/],
      ['wrong.csv', 'a,b\n1,2\n', /wrong\.csv: needs one of the columns wavelength_nm/],
      ['empty.csv', '', /empty\.csv/],
      ['short.csv', 'wavelength_nm,reflectance\n500,0.5\n510,0.5\n', /short\.csv.*400/],
      ['loud.csv', HALF_GREY.replaceAll('0.5', '50'), /loud\.csv/],
      ['good.csv', 'wavelength_nm,reflectance\n400,x\n', /good\.csv.*rows/],
    ]) {
      await drop(page, name, bytes);
      const alert = page.getByRole('alert').filter({ hasText: name.replace('.csv', '') });
      await alert.waitFor();
      assert.match(await alert.innerText(), told);
      assert.equal(await page.getByRole('alert').count(), 1, name);
      assert.equal(await known(page).innerText(), before, name);
    }
    await page.screenshot({ path: join(shots, 'wanted-corrupt.png'), fullPage: true });
  }));

test('another spectrum of the same name does not change an earlier wish', () =>
  wanted(async (page) => {
    await drop(page, 'a.csv', HALF_GREY);
    await known(page).getByText('a measured spectrum').waitFor();
    await page.getByRole('button', { name: 'Add a colour along the part' }).click();
    await drop(page, 'a.csv', HALF_GREY.replaceAll('0.5', '0.1'));
    await known(page).getByText('a (2).csv').waitFor();
    // L* of a tenth of the light: 116 x 0.1^(1/3) - 16 = 37.8.
    assert.match(await known(page).innerText(), /L\*\s*37\.8/);
    await page.getByRole('group', { name: 'Wanted colours along the part' }).getByRole('button').first().click();
    await known(page).getByText(/76\.1/).waitFor();
  }));

test('two wishes stand in order, change places, are placed and removed', () =>
  wanted(async (page) => {
    await page.getByRole('button', { name: 'deep blue' }).click();
    await page.getByRole('button', { name: 'Add a colour along the part' }).click();
    await page.getByRole('button', { name: 'straw' }).click();
    assert.deepEqual(await order(page), ['deep blue', 'straw']);
    const picked = page.getByRole('group', { name: 'Wanted colours along the part' }).locator('button[aria-pressed=true]');
    assert.match(await picked.innerText(), /straw/);
    await page.getByRole('button', { name: 'Move towards 0' }).click();
    assert.deepEqual(await order(page), ['straw', 'deep blue']);
    assert.match(await picked.innerText(), /straw/, 'the pick goes with it');
    await page.screenshot({ path: join(shots, 'wanted-two.png'), fullPage: true });
    const place = page.getByLabel('Place along the part');
    await place.fill('120');
    await place.press('Enter');
    await page.getByRole('alert').filter({ hasText: 'from 0 (one end) to 100' }).waitFor();
    await page.getByRole('button', { name: 'Add a colour along the part' }).click();
    await page.getByRole('button', { name: 'teal' }).click();
    assert.deepEqual(await order(page), ['straw', 'teal', 'deep blue']);
    await page.getByLabel('Place along the part').fill('10');
    await page.getByLabel('Place along the part').press('Enter');
    await page.getByRole('button', { name: 'Remove this colour' }).click();
    assert.deepEqual(await order(page), ['straw', 'deep blue']);
    await page.getByRole('button', { name: 'Undo' }).click();
    assert.deepEqual(await order(page), ['straw', 'teal', 'deep blue']);
  }));

test('Find ways leads to the ways', () =>
  wanted(async (page) => {
    await page.getByRole('button', { name: 'deep blue' }).click();
    await page.getByRole('button', { name: 'Find ways' }).click();
    await page.waitForFunction(() => location.hash.startsWith('#/ways'));
  }));

test('a reload keeps a spectrum; a link without it asks for the file, in words', async () => {
  let link = '';
  await wanted(async (page) => {
    await page.waitForFunction(() => location.hash.includes('?s='));
    const empty = page.url();
    await drop(page, 'object.csv', HALF_GREY);
    await known(page).getByText('a measured spectrum').waitFor();
    await page.waitForFunction((old) => location.href !== old, empty);
    link = page.url();
    await page.reload();
    await known(page).getByText('a measured spectrum').waitFor();
  });
  const { page, context } = await visit(chrome, link);
  await page.getByRole('alert').filter({ hasText: 'object.csv is no longer on this page' }).waitFor();
  await drop(page, 'object.csv', HALF_GREY);
  await known(page).getByText('a measured spectrum').waitFor();
  await context.close();
});

test('narrow and wide, nothing scrolls sideways', async () => {
  for (const width of [360, 1600]) {
    await wanted(
      async (page) => {
        await page.getByRole('button', { name: 'deep blue' }).click();
        for (const name of ['straw', 'yellow-green', 'champagne', 'teal']) {
          await page.getByRole('button', { name: 'Add a colour along the part' }).click();
          await page.getByRole('button', { name, exact: true }).last().click();
        }
        assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= width, `${width} pixels`);
        await page.screenshot({ path: join(shots, `wanted-${width}.png`), fullPage: true });
      },
      { viewport: { width, height: 900 }, colorScheme: width === 360 ? 'dark' : 'light' },
    );
  }
});
