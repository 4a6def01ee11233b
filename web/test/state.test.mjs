// The reducer on the agent's own words: testdata/feed_check.jsonl is a transcript of GET /v1/live of the demo, recorded by
// testdata/record.mjs, with nothing edited. Run: node --test web/test/

import assert from 'node:assert/strict';
import {readFileSync} from 'node:fs';
import {test} from 'node:test';
import {SILENT_MS, ageS, ended, nothing, reduce, silent} from '../state.mjs';

/** @returns {any[]} */
const transcript = () => readFileSync(new URL('../testdata/feed_check.jsonl', import.meta.url), 'utf8').trim().split('\n').map((l) => JSON.parse(l));

/** @param {any[]} messages @param {any} [from] @param {number} [at] */
const play = (messages, from = nothing, at = 1000) => messages.reduce((s, m, i) => reduce(s, m, at + i), from);

test('a finished run is as its last view says, with each of its events once and in order', () => {
  const all = transcript(), s = play(all);
  const last = all.findLast((m) => m.type === 'run').run;
  assert.equal(last.state, 'finished');
  assert.deepEqual(s.runs[last.id], last);
  const seqs = s.events[last.id].map((e) => e.seq);
  assert.deepEqual(seqs, [...new Set(seqs)].sort((a, b) => a - b));
  assert.deepEqual(seqs, all.filter((m) => m.type === 'event' && m.event.run === last.id).map((m) => m.event.seq));
  assert.equal(s.seq, Math.max(...seqs));
});

test('told twice is told once: any part of the transcript again changes neither events nor seq', () => {
  const all = transcript(), s = play(all);
  for (let i = 1; i < all.length; i += 7) {
    const again = play(all.slice(i).filter((m) => m.type === 'event'), s);
    assert.deepEqual(again.events, s.events);
    assert.equal(again.seq, s.seq);
  }
});

test('wherever the socket breaks, the snapshot and the events behind our number give the same run', () => {
  const all = transcript(), whole = play(all), id = Object.keys(whole.runs)[0];
  for (let cut = 1; cut < all.length; cut += 3) {
    const before = play(all.slice(0, cut));
    const snapshot = {type: 'snapshot', store_id: all[0].store_id, last_seq: whole.seq, printers: Object.values(whole.printers), runs: []};
    const missed = all.filter((m) => m.type === 'event' && m.event.seq > before.seq);
    const after = play([snapshot, ...missed], before);
    assert.deepEqual(after.events[id], whole.events[id], `cut at ${cut}`);
    assert.ok(!after.runs[id] || ended(after.runs[id]), `cut at ${cut}: a run that ended meanwhile is not shown as alive`);
  }
});

test('another store, or a smaller number, means start afresh', () => {
  const all = transcript(), s = play(all);
  const other = reduce(s, {...all[0], store_id: 'ANOTHER'}, 9000);
  assert.deepEqual([other.runs, other.events, other.seq], [{}, {}, all[0].last_seq]);
  const restored = reduce(s, {...all[0], last_seq: 1}, 9000);
  assert.deepEqual([restored.runs, restored.events, restored.seq], [{}, {}, 1]);
});

test('a view that was fetched earlier does not overwrite a newer one', () => {
  const all = transcript(), s = play(all), views = all.filter((m) => m.type === 'run');
  for (const old of views.slice(0, -1)) assert.deepEqual(reduce(s, old, 9000).runs, s.runs);
});

// Between an answer and the next question the agent may look at what is asked before that is stored, and at the events after.
test('an answer’s own view does not take away a question that the socket has told', () => {
  const late = transcript().find((m) => m.type === 'run' && m.run.state === 'underway').run;
  const s = play([{type: 'run', run: {...late, state: 'asking', question: {number: 1}}}]);
  assert.deepEqual(reduce(s, {type: 'run', run: late, fetched: true}, 9000).runs, s.runs);
  assert.equal(reduce(s, {type: 'run', run: late}, 9000).runs[late.id].state, 'underway');
  assert.equal(reduce(s, {type: 'run', run: {...late, last_seq: late.last_seq + 1}, fetched: true}, 9000).runs[late.id].state, 'underway');
});

test('ages grow from when a reading was heard, and silence is told', () => {
  const all = transcript(), s = play(all), p = Object.values(s.printers)[0];
  const at = s.readAt[p.id];
  assert.ok(p.nozzle);
  assert.ok(Math.abs(ageS(s, p, at + 60_000) - (p.nozzle.age_s + 60)) < 1e-9);
  assert.equal(silent(s, s.heard + SILENT_MS), false);
  assert.equal(silent(s, s.heard + SILENT_MS + 1), true);
  assert.equal(silent(reduce(s, {type: 'link', up: false}, 0), s.heard), true);
  const alive = reduce(s, {type: 'beat'}, s.heard + 20_000);
  assert.equal(silent(alive, s.heard + 20_001), false);
});

test('the reducer keeps what it is given as it is', () => {
  const frozen = (/** @type {any} */ o) => { if (o && typeof o === 'object') { Object.values(o).forEach(frozen); Object.freeze(o); } return o; };
  assert.doesNotThrow(() => transcript().map(frozen).reduce((s, m, i) => frozen(reduce(s, m, i)), frozen({...nothing})));
});
