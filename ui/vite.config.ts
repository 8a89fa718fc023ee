// The page as static files: relative addresses, so that it works from any folder of any web host.
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  base: './',
  plugins: [svelte()],
  worker: { format: 'es' },
  build: { target: 'es2022', assetsInlineLimit: 0, reportCompressedSize: false, modulePreload: { polyfill: false } },
  // A real browser has its own tests (tests/, by node): these are of single modules.
  test: { include: ['src/**/*.spec.ts'] },
});
