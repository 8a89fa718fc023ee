// Packs the built page: beside each file its gzip and brotli forms, for the server and for hosts that take them; and says
// how large the page is.
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';

const dist = new URL('./dist/', import.meta.url).pathname;
let plain = 0;
let gzip = 0;
let brotli = 0;
for (const name of readdirSync(dist, { recursive: true })) {
  const path = join(dist, name);
  if (!statSync(path).isFile() || /\.(gz|br)$/.test(name)) continue;
  const bytes = readFileSync(path);
  const zipped = gzipSync(bytes, { level: 9 });
  const pressed = brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length, [constants.BROTLI_PARAM_LGWIN]: 22 } });
  writeFileSync(`${path}.gz`, zipped);
  writeFileSync(`${path}.br`, pressed);
  plain += bytes.length;
  gzip += zipped.length;
  brotli += pressed.length;
}
const kB = (bytes) => `${(bytes / 1000).toFixed(0)} kB`;
console.log(`page: ${kB(plain)}, gzip ${kB(gzip)}, brotli ${kB(brotli)}`);
