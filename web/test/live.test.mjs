// The socket comes back by itself. Time is the test's own. Run: node --test web/test/*.test.mjs

import assert from 'node:assert/strict';
import {beforeEach, mock, test} from 'node:test';
import {follow} from '../live.mjs';

/** @type {any[]} */
let sockets = [];
/** @type {Map<string, Set<() => void>>} */
let waiting = new Map();
const fire = (/** @type {string} */ kind) => waiting.get(kind)?.forEach((f) => f());
const hearing = {addEventListener: (/** @type {string} */ k, /** @type {() => void} */ f) => { (waiting.get(k) ?? waiting.set(k, new Set()).get(k))?.add(f); },
  removeEventListener: (/** @type {string} */ k, /** @type {() => void} */ f) => waiting.get(k)?.delete(f)};

class Socket {
  constructor(/** @type {string} */ url) { this.url = url; this.closed = false; /** @type {any} */ this.onmessage = null; /** @type {any} */ this.onclose = null; sockets.push(this); }
  close() { this.closed = true; }
  say(/** @type {object} */ m) { this.onmessage({data: JSON.stringify(m)}); }
  die() { this.onclose(); }
}

beforeEach(() => {
  sockets = [];
  waiting = new Map();
  mock.timers.reset();
  mock.timers.enable({apis: ['setTimeout', 'setInterval', 'Date'], now: 1_000_000});
  Object.assign(globalThis, {WebSocket: Socket, document: {...hearing, visibilityState: 'visible'}, ...hearing});
});

function start() {
  /** @type {any[]} */
  const heard = [], links = [];
  let seq = 0, failed = 0;
  const f = follow({url: () => `ws://x/v1/live?after=${seq}`, hear: (m) => { heard.push(m); seq = m.seq ?? seq; }, link: (up) => links.push(up), failed: () => failed++});
  return {f, heard, links, failures: () => failed};
}

test('a socket that dies is opened again, behind the last number', () => {
  const s = start();
  sockets[0].say({seq: 41});
  sockets[0].die();
  assert.deepEqual(s.links, [false]);
  mock.timers.tick(300);
  assert.equal(sockets.length, 2);
  assert.match(sockets[1].url, /after=41$/);
  assert.equal(s.failures(), 0);
});

test('ten seconds without a word: the old socket is left, also where it does not know that it is dead', () => {
  const s = start();
  sockets[0].say({seq: 1});
  mock.timers.tick(10_000);
  assert.equal(sockets.length, 1);
  mock.timers.tick(2000);
  assert.equal(sockets.length, 2);
  assert.equal(sockets[0].closed, true);
  sockets[0].say({seq: 9});
  assert.deepEqual(s.heard, [{seq: 1}], 'what a left socket still says is not heard');
});

test('beats keep it', () => {
  start();
  for (let i = 0; i < 20; i++) { sockets[0].say({type: 'beat'}); mock.timers.tick(5000); }
  assert.equal(sockets.length, 1);
});

for (const kind of ['pageshow', 'visibilitychange']) {
  test(`a phone that slept comes back on ${kind}, at once`, () => {
    start();
    sockets[0].say({seq: 1});
    mock.timers.setTime(1_000_000 + 3_600_000); // asleep: no timer ran
    fire(kind);
    assert.equal(sockets.length, 2);
  });
}

test('back on the network: opened at once, not after the wait', () => {
  start();
  for (let i = 0; i < 5; i++) { sockets.at(-1).die(); mock.timers.tick(4000); }
  const before = sockets.length;
  sockets.at(-1).die();
  fire('online');
  assert.equal(sockets.length, before + 1);
});

test('a try that never opened is told, and tries are ever further apart', () => {
  const s = start();
  const at = [];
  for (let i = 0; i < 6; i++) {
    const before = sockets.length;
    sockets.at(-1).die();
    let waited = 0;
    while (sockets.length === before) { mock.timers.tick(100); waited += 100; }
    at.push(waited);
  }
  assert.equal(s.failures(), 6);
  assert.deepEqual(at, [300, 1000, 2000, 4000, 4000, 4000]);
});

test('closed is closed', () => {
  const s = start();
  s.f.close();
  fire('online');
  mock.timers.tick(60_000);
  assert.equal(sockets.length, 1);
  assert.equal(sockets[0].closed, true);
});
