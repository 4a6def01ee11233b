// What is plugged in is read at once, then waited for with the number of changes known, and let go when the page is left.
// Run: node --test web/test/

import assert from 'node:assert/strict';
import test from 'node:test';
import {followPlugged, plugged} from '../plugged.mjs';

/** Requests in the order they came, each answered by hand. @type {{path: string, signal: AbortSignal, answer: (body: any) => void}[]} */
const asked = [];
/** @type {((x: any) => void)[]} */
let waiting = [];
const came = () => new Promise((done) => { waiting.push(done); });

Object.assign(globalThis, {fetch: (/** @type {string} */ path, /** @type {any} */ init) => new Promise((done, fail) => {
  init.signal.addEventListener('abort', () => fail(new Error('aborted')));
  asked.push({path, signal: init.signal, answer: (body) => done({ok: true, json: async () => body})});
  waiting.forEach((w) => w(undefined));
  waiting = [];
})});

test('a port that appears is drawn, and the next is waited for', async () => {
  let drawn = 0, first = came();
  followPlugged(true, () => drawn++);
  await first;
  assert.equal(asked[0]?.path, '/v1/ports');
  let next = came();
  asked[0]?.answer({changes: 3, ports: []});
  await next;
  assert.equal(asked[1]?.path, '/v1/ports?after=3&within=50s');
  next = came();
  asked[1]?.answer({changes: 4, ports: [{name: 'p', device: '/dev/ttyUSB0'}]});
  await next;
  assert.deepEqual(plugged().list?.map((x) => x.name), ['p']);
  assert.equal(drawn, 2);
  followPlugged(true, () => drawn++);
  assert.equal(asked.length, 3, 'a page that is drawn again asks no second time');
  followPlugged(false, () => drawn++);
  assert.equal(asked[2]?.signal.aborted, true);
  first = came();
  followPlugged(true, () => drawn++);
  await first;
  assert.equal(asked[3]?.path, '/v1/ports', 'what changed while nobody looked is read at once');
  followPlugged(false, () => {});
});
