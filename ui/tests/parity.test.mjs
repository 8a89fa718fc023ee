// The browser's module gives the answers that the program gives natively: every number to 1e-9, every word the same.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { Engine, initSync } from '../engine/huewright_wasm.js';

const ALLOWED = 1e-9;

/** The largest difference between two answers, relative above 1; anything else must be equal. */
function difference(native, browser, path) {
  if (typeof native === 'number' && typeof browser === 'number') return Math.abs(native - browser) / Math.max(1, Math.abs(native));
  if (typeof native === 'object' && native !== null && typeof browser === 'object' && browser !== null) {
    assert.deepEqual(Object.keys(browser), Object.keys(native), path);
    return Object.keys(native).reduce((most, key) => Math.max(most, difference(native[key], browser[key], `${path}.${key}`)), 0);
  }
  // Pictures are text with rounded numbers: they must be the same text.
  assert.equal(browser, native, path);
  return 0;
}

test('native and browser answers agree to 1e-9', () => {
  const file = process.env.HUEWRIGHT_ANSWERS;
  assert.ok(file, 'HUEWRIGHT_ANSWERS names the native answers: run cargo xtask test');
  initSync({ module: readFileSync(new URL('../engine/huewright_wasm_bg.wasm', import.meta.url)) });
  const engine = new Engine();
  const lines = readFileSync(file, 'utf8').trim().split('\n').map((l) => JSON.parse(l));
  let worst = { difference: -1, question: '' };
  const questions = new Set();
  for (const { question, request, answer, refusal } of lines) {
    let told;
    try {
      told = { answer: JSON.parse(engine.ask(question, request, { tell() {} })) };
    } catch (thrown) {
      told = { refusal: JSON.parse(thrown) };
    }
    const found = difference(refusal ? { refusal } : { answer }, told, question);
    assert.ok(found <= ALLOWED, `${question} ${request}: ${found}`);
    if (found > worst.difference) worst = { difference: found, question };
    questions.add(question);
  }
  assert.ok(lines.length > 200 && questions.size >= 10, `${lines.length} answers to ${questions.size} questions`);
  console.log(`parity: ${lines.length} answers, worst difference ${worst.difference.toExponential(1)} (${worst.question})`);
});
