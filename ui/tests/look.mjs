// node tests/look.mjs PAGE...: pictures of pages at both widths and both themes into shots/, to be opened and looked at.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { browser, host, shots, visit } from './browser.mjs';

mkdirSync(shots, { recursive: true });
const pages = process.argv.slice(2);
const site = await host();
const chrome = await browser();
for (const name of pages.length ? pages : ['shop', 'wanted', 'ways', 'turn', 'run', 'chamber', 'library']) {
  for (const width of [360, 1600]) {
    for (const colorScheme of ['light', 'dark']) {
      const { page, context, faults } = await visit(chrome, `${site.address}#/${name}`, { viewport: { width, height: 900 }, colorScheme });
      await page.waitForTimeout(1500);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      if (wide > width) console.log(`${name} at ${width}: ${wide} pixels wide`);
      if (faults.length) console.log(`${name}: ${faults.join('; ')}`);
      await page.screenshot({ path: join(shots, `${name}-${width}-${colorScheme}.png`), fullPage: true });
      await context.close();
    }
  }
}
await chrome.close();
site.close();
