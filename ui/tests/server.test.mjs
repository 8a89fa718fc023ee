// The page as the server gives it: the same page, strict headers, and records that the server keeps.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { browser, host, visit } from './browser.mjs';

const program = process.env.HUEWRIGHT_PROGRAM;
let server;
let folder;
let address;
let chrome;

before(async () => {
  assert.ok(program && existsSync(program), 'HUEWRIGHT_PROGRAM names the built program: run cargo xtask test');
  folder = mkdtempSync(join(tmpdir(), 'huewright-'));
  server = spawn(program, ['serve', '--port', '0', '--folder', folder], { stdio: ['ignore', 'pipe', 'inherit'] });
  address = await new Promise((ready, fail) => {
    server.once('exit', (code) => fail(new Error(`the server ended with ${code}`)));
    server.stdout.once('data', (line) => ready(/http:\S+/.exec(String(line))[0]));
  });
  chrome = await browser();
});
after(async () => {
  await chrome?.close();
  server?.kill('SIGTERM');
  rmSync(folder, { recursive: true, force: true });
});

test('the way through the pages, with the server keeping what is kept', async () => {
  const { page, context, faults } = await visit(chrome, address);
  await page.getByRole('button', { name: /kitchen/i }).first().click();
  await page.getByRole('button', { name: 'Keep', exact: true }).first().click();
  await page.getByText(/^Kept "kitchen bench/).waitFor();
  const kept = readdirSync(join(folder, 'workshop')).filter((f) => f.endsWith('.toml'));
  assert.equal(kept.length, 1, 'one file in the folder of the server');
  assert.match(readFileSync(join(folder, 'workshop', kept[0]), 'utf8'), /schema = 1[^]*\[\[metal\]\]/);

  await page.getByRole('link', { name: /Wanted/ }).click();
  await page.getByRole('button', { name: 'blue', exact: true }).click();
  await page.getByRole('button', { name: 'Find ways' }).click();
  await page.getByRole('heading', { name: /ways? to blue/ }).waitFor({ timeout: 60_000 });
  await page.getByRole('button', { name: 'Turn it' }).first().click();
  await page.locator('[data-testid=setting]').waitFor();
  assert.match(await page.locator('[data-testid=word]').textContent(), /blue/);
  await page.getByRole('link', { name: /Library/ }).click();
  await page.getByRole('heading', { name: /39 materials/ }).waitFor();
  assert.deepEqual(faults, [], 'no fault, and nothing that the content policy forbids');
  await context.close();
});

test('what someone else has changed meanwhile is replaced or removed only at a second word, or mine goes under another name', async (t) => {
  const site = await host('/somewhere/', address);
  t.after(() => site.close());
  const { page, context, faults } = await visit(chrome, `${site.address}#/shop`);
  const theirs = (name) => fetch(new URL(`api/records/workshop/${name}`, address), { method: 'PUT', headers: { 'content-type': 'application/toml' }, body: 'schema = 1\nname = "theirs"\n[[metal]]\nid = "niobium"\n' });
  const text = (name) => readFileSync(join(folder, 'workshop', `${name}.toml`), 'utf8');
  const name = page.getByRole('textbox', { name: 'Keep under the name' }).first();
  const keepIt = page.getByRole('button', { name: 'Keep', exact: true }).first();
  const button = (words) => page.getByRole('button', { name: words, exact: true });
  const told = page.getByRole('alert').filter({ hasText: 'was changed or removed meanwhile' });
  await page.getByRole('button', { name: /kitchen/i }).first().click();
  await name.fill('shared');
  await keepIt.click();
  await page.getByText('Kept "shared"').waitFor();

  assert.equal((await theirs('shared')).status, 200);
  await keepIt.click();
  await button('Replace it').click();
  await told.waitFor();
  await button('Keep mine under another name').click();
  assert.equal(await name.inputValue(), 'shared 2');
  assert.equal(await name.evaluate((field) => field === document.activeElement), true, 'the name has the focus');
  await keepIt.click();
  await page.getByText('Kept "shared 2"').waitFor();
  assert.match(text('shared'), /theirs/);

  await name.fill('shared');
  await keepIt.click();
  await button('Replace it').click();
  await button('Replace theirs with mine').click();
  await page.getByText('Kept "shared"').waitFor();
  assert.doesNotMatch(text('shared'), /theirs/);

  assert.equal((await theirs('shared')).status, 200);
  await button('Remove shared from what is kept').click();
  await button('Remove shared').click();
  await told.waitFor();
  assert.match(text('shared'), /theirs/);
  await button('Remove it all the same').click();
  await page.getByText('"shared" is no longer kept').waitFor();
  assert.equal(existsSync(join(folder, 'workshop', 'shared.toml')), false);
  assert.deepEqual(faults.filter((f) => !/412/.test(f)), [], 'but for the refusals that were meant');
  await context.close();
});

/** A request with any headers: fetch sets some of its own. */
const send = (method, path, headers, body) => new Promise((done, fail) => {
  const call = request(new URL(path, address), { method, headers }, (response) => { response.resume(); done(response.statusCode); });
  call.on('error', fail);
  call.end(body);
});

test('a page from elsewhere reaches neither questions nor records', async () => {
  const json = { 'content-type': 'application/json' };
  for (const [method, path, headers, body] of [['PUT', 'api/records/recipe/x', {}, 'schema = 1\n'], ['POST', 'api/ask/shelf', json, '{}']]) {
    assert.equal(await send(method, path, { ...headers, origin: 'http://elsewhere.example' }, body), 403, path);
    const own = await send(method, path, headers, body);
    assert.ok(own >= 200 && own < 300, `${path} without an origin: ${own}`);
  }
  const policy = (await fetch(address)).headers.get('content-security-policy');
  assert.match(policy, /default-src 'none'/);
  assert.doesNotMatch(policy, /'unsafe-(inline|eval)'/);
});
