// The browser's modules give the answers that the program gives natively: every number to 1e-9, every word the same; and the
// first one answers all that the page asks it.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import * as first from '../engine/first.js';
import * as full from '../engine/full.js';

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

const bytes = (name) => readFileSync(new URL(`../engine/${name}_bg.wasm`, import.meta.url));
const FIRST = JSON.parse(readFileSync(new URL('../src/house/first.json', import.meta.url), 'utf8'));

/** The native answers, a question each. */
function native() {
  const file = process.env.HUEWRIGHT_ANSWERS;
  assert.ok(file, 'HUEWRIGHT_ANSWERS names the native answers: run cargo xtask test');
  return readFileSync(file, 'utf8').trim().split('\n').map((l) => JSON.parse(l));
}

function open(module, name) {
  module.initSync({ module: bytes(name) });
  return new module.Engine();
}

function ask(engine, question, request) {
  try {
    return { answer: JSON.parse(engine.ask(question, request, { tell() {} })) };
  } catch (thrown) {
    if (typeof thrown !== 'string') throw thrown;
    return { refusal: JSON.parse(thrown) };
  }
}

function compare(engine, lines) {
  let worst = { difference: -1, question: '' };
  for (const { question, request, answer, refusal } of lines) {
    const found = difference(refusal ? { refusal } : { answer }, ask(engine, question, request), question);
    assert.ok(found <= ALLOWED, `${question} ${request}: ${found}`);
    if (found > worst.difference) worst = { difference: found, question };
  }
  return `${lines.length} answers, worst difference ${worst.difference.toExponential(1)} (${worst.question})`;
}

test('native and browser answers agree to 1e-9', () => {
  const lines = native();
  const told = compare(open(full, 'full'), lines);
  const questions = new Set(lines.map((l) => l.question));
  assert.ok(lines.length > 200 && questions.size >= 10, `${lines.length} answers to ${questions.size} questions`);
  console.log(`parity of the full module: ${told}`);
});

test('the first module answers what the page asks it, alike, and nothing else', () => {
  const engine = open(first, 'first');
  const lines = native();
  const told = compare(engine, lines.filter((l) => FIRST.includes(l.question)));
  const asked = new Set(lines.map((l) => l.question));
  for (const question of FIRST) assert.ok(asked.has(question), `${question} stands in first.json, and no native answer to it`);
  for (const question of asked) {
    const { refusal } = ask(engine, question, 'no object');
    const known = !/there is no question/.test(refusal.error);
    assert.equal(known, FIRST.includes(question), `${question}: ${known ? 'is in the first module, and first.json does not say so' : 'is not in the first module, and first.json says so'}`);
  }
  console.log(`parity of the first module: ${told}`);
});
