// A request whose answer was lost is repeated with the same key, also after a reload; an answered one is over.
// Run: node --test web/test/*.test.mjs

import assert from 'node:assert/strict';
import {beforeEach, test} from 'node:test';
import {call, lines} from '../call.mjs';

/** What outlives a reload. */
let kept = new Map();
/** @type {{path: string, init: any}[]} */
let sent = [];
/** @type {() => Promise<any>} */
let answer;

const reply = (/** @type {number} */ status, /** @type {any} */ body) => ({ok: status < 300, status, text: async () => JSON.stringify(body)});
const keys = () => sent.map((s) => s.init.headers['Idempotency-Key']);

beforeEach(() => {
  kept = new Map();
  sent = [];
  Object.assign(globalThis, {
    sessionStorage: {getItem: (/** @type {string} */ k) => kept.get(k) ?? null, setItem: (/** @type {string} */ k, /** @type {string} */ v) => kept.set(k, v), removeItem: (/** @type {string} */ k) => kept.delete(k)},
    fetch: (/** @type {string} */ path, /** @type {any} */ init) => { sent.push({path, init}); return answer(); },
  });
});

const lostAnswer = async () => { throw new TypeError('network'); };

test('the key stays until there is an answer', async () => {
  answer = lostAnswer;
  const first = await call('POST', '/v1/runs/r1/answers', {question: 7, leftover_mm: 23.04});
  assert.equal(first.ok, false);
  assert.equal(!first.ok && first.problem.code, 'unreachable');
  answer = async () => reply(503, {code: 'store'});
  await call('POST', '/v1/runs/r1/answers', {question: 7, leftover_mm: 23.04});
  answer = async () => reply(200, {id: 'r1'});
  assert.equal((await call('POST', '/v1/runs/r1/answers', {question: 7, leftover_mm: 23.04})).ok, true);
  assert.equal(new Set(keys()).size, 1, 'three tries, one request');
  await call('POST', '/v1/runs/r1/answers', {question: 7, leftover_mm: 23.04});
  assert.equal(new Set(keys()).size, 2, 'what was answered is over');
  assert.equal(kept.size, 0);
});

test('another body is another request', async () => {
  answer = lostAnswer;
  await call('POST', '/v1/runs/r1/answers', {question: 7, leftover_mm: 23.04});
  await call('POST', '/v1/runs/r1/answers', {question: 7, leftover_mm: 24});
  assert.equal(new Set(keys()).size, 2);
});

test('a key that still runs is kept', async () => {
  answer = async () => reply(409, {code: 'key_running'});
  await call('POST', '/v1/runs', {printer: 'window'});
  await call('POST', '/v1/runs', {printer: 'window'});
  assert.equal(new Set(keys()).size, 1);
});

test('keys come from getRandomValues and are long enough to be one of a kind', async () => {
  answer = async () => reply(200, {});
  for (let i = 0; i < 200; i++) await call('POST', '/v1/runs', {i});
  assert.equal(new Set(keys()).size, 200);
  for (const k of keys()) assert.match(k, /^[0-9a-f]{32}$/);
});

test('stops and looks carry no key', async () => {
  answer = async () => reply(202, {});
  await call('POST', '/v1/printers/window/stop', undefined, {keyed: false});
  await call('GET', '/v1/printers');
  assert.deepEqual(keys(), [undefined, undefined]);
});

test('a problem is an object, whatever came', async () => {
  answer = async () => reply(409, {code: 'answered', title: 'x', winner: {question: 7, answer: {leftover_mm: 1}}});
  const known = await call('POST', '/x', {});
  assert.equal(!known.ok && known.problem.winner?.question, 7);
  answer = async () => ({ok: false, status: 502, text: async () => '<html>'});
  const strange = await call('POST', '/x', {});
  assert.equal(!strange.ok && strange.problem.status, 502);
});

test('lines of JSON', async () => {
  answer = async () => ({ok: true, status: 200, text: async () => '{"seq":1}\n{"seq":2}\n'});
  assert.deepEqual(await lines('/v1/runs/r1/events'), [{seq: 1}, {seq: 2}]);
});
