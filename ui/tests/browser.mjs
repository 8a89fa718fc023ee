// Debian's Chromium through playwright-core, and the built page as plain static files: what every browser test shares.
import { createServer, request as call } from 'node:http';
import { readFile } from 'node:fs/promises';
import { existsSync } from 'node:fs';
import { dirname, extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';

const ui = join(dirname(fileURLToPath(import.meta.url)), '..');
export const shots = join(ui, 'shots');
const dist = process.env.HUEWRIGHT_DIST ?? join(ui, 'dist');
const KINDS = { '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css', '.wasm': 'application/wasm', '.svg': 'image/svg+xml' };

/** The page as static files under a folder, as any web host would give it; records are kept by the server at `keeper`, if one is named. */
export async function host(folder = '/somewhere/', keeper = undefined) {
  const server = createServer(async (request, response) => {
    const path = decodeURIComponent(new URL(request.url, 'http://x').pathname);
    const inside = path.startsWith(folder) ? normalize(path.slice(folder.length)) : '..';
    if (keeper && inside.startsWith('api/')) {
      const { host: _, origin: __, referer: ___, ...headers } = request.headers;
      return request.pipe(call(new URL(request.url.slice(folder.length), keeper), { method: request.method, headers }, (told) => told.pipe(response.writeHead(told.statusCode, told.headers))));
    }
    const file = join(dist, inside === '.' || inside === '' ? 'index.html' : inside);
    if (inside.startsWith('..') || !existsSync(file)) return response.writeHead(404).end();
    response.writeHead(200, { 'content-type': KINDS[extname(file)] ?? 'application/octet-stream' });
    const bytes = await readFile(file);
    response.end(keeper && file.endsWith('index.html') ? String(bytes).replace('<head>', '<head><meta name="huewright-keeps" content="1">') : bytes);
  });
  await new Promise((ready) => server.listen(0, '127.0.0.1', ready));
  return { address: `http://127.0.0.1:${server.address().port}${folder}`, close: () => server.close() };
}

export async function browser() {
  const path = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
  if (!path) throw new Error('Chromium is missing: cargo xtask test installs it on Debian');
  const root = process.getuid?.() === 0 ? ['--no-sandbox'] : [];
  return chromium.launch({
    executablePath: path,
    args: [...root, '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}

/** A page that fails the test when anything is written to its console as an error, or thrown. */
export async function visit(chrome, address, options = {}) {
  const context = await chrome.newContext({ viewport: { width: 1280, height: 900 }, reducedMotion: 'reduce', acceptDownloads: true, ...options });
  const page = await context.newPage();
  const faults = [];
  page.on('pageerror', (error) => faults.push(String(error)));
  page.on('console', (message) => message.type() === 'error' && faults.push(message.text()));
  await page.goto(address);
  await page.locator('main h1').first().waitFor();
  return { page, context, faults };
}
