// The order of each way to measure: what a run is at, and what comes, by its questions, its answers and what it does.

import assert from 'node:assert/strict';
import {readFileSync} from 'node:fs';
import {test} from 'node:test';
import {pastOf} from '../steps.mjs';
import {hereOf, lengthOf, stem, stepsAfter, wayOf, waysIn} from '../ways.mjs';

/** What the agent asks in each way, as it has recorded it. @type {Array<{method: string, questions: Array<{name: string, figure: string}>}>} */
const RECORDED = JSON.parse(readFileSync(new URL('../../routines/feed/testdata/ways.json', import.meta.url), 'utf8'));

/** @param {string} method @param {string[]} answered @param {any} [over] */
const run = (method, answered, over = {}) => /** @type {any} */ ({id: 'r1', routine: 'feed_check', inputs: {method, commanded_mm: 100, pre_feed_mm: 5, lengths: 3}, answers: answered.map((name, i) => ({question: i, name, answer: {}})), ...over});

test('each question that the agent asks lies further down its way than the one before', () => {
  for (const {method, questions} of RECORDED) {
    let at = -1;
    for (const q of questions.filter((x) => stem(x.name) !== 'strand')) {
      const here = wayOf(method).indexOf(hereOf(run(method, [], {question: q})));
      assert.ok(here >= at && here >= 0, `${method}: ${q.name} at ${here} behind ${at}`);
      at = here;
    }
  }
});

test('what is fed is told apart by what was answered before', () => {
  const feeding = {doing: {what: 'feeding'}}, hands = {question: {name: 'runner: hands away'}};
  for (const moves of [feeding, hands]) {
    assert.equal(hereOf(run('inlet', ['air', 'runner: present'], moves)), 'pre-feed');
    assert.equal(hereOf(run('inlet', ['air', 'runner: present', 'mark 1'], moves)), 'feed');
    assert.equal(hereOf(run('inlet', ['air', 'mark 1', 'strand 1', 'leftover 1'], moves)), 'pre-feed', 'the next pass');
    assert.equal(hereOf(run('two_flags', ['air', 'flags 1', 'runner: present'], moves)), 'pre-feed');
    assert.equal(hereOf(run('two_flags', ['air', 'flags 1', 'near flag 1, again 2'], moves)), 'feed');
    assert.equal(hereOf(run('several_lengths', ['air', 'mark 1', 'leftover 1, length 1'], moves)), 'feeds');
    assert.equal(hereOf(run('several_lengths', ['air', 'mark 1', 'leftover 1, length 3', 'strand 1'], moves)), 'pre-feed');
    assert.deepEqual([['mark 1'], ['mark 1', 'leftover 1, length 1'], ['leftover 1, length 3'], ['leftover 1, length 2', 'mark 1, again 2']].map((a) => lengthOf(run('several_lengths', a, moves))), [1, 2, 1, 1]);
    assert.equal(hereOf(run('tube_end', ['air', 'runner: present'], moves)), 'heat');
    assert.equal(hereOf(run('tube_end', ['air', 'unload', 'coupler'], moves)), 'out');
    assert.equal(hereOf(run('tube_end', ['air', 'unload', 'coupler', 'cut 1'], moves)), 'feed');
  }
});

test('a tube is undone once it is cold, and a check that ends cools behind its feed', () => {
  const cooling = {doing: {what: 'cooling', target_c: 50}};
  assert.deepEqual(stepsAfter(run('tube_end', ['air', 'unload'], cooling)), ['coupler', 'out', 'cut', 'feed', 'piece', 'finding']);
  assert.deepEqual(stepsAfter(run('inlet', ['air', 'mark 1'], cooling)), ['leftover', 'finding']);
  assert.deepEqual(stepsAfter(run('several_lengths', ['air', 'mark 1', 'leftover 1, length 2'], cooling)), ['finding']);
  assert.deepEqual(stepsAfter(run('no such way', [], {})), wayOf('inlet').slice(1));
});

test('each answer of a way leaves its ring, with its number', () => {
  const said = [['flags 1', {flags_mm: 100.04}], ['near flag 1', {instead: 'set_anew'}], ['near flag 1, again 2', {near_mm: 19.98}], ['far flag 1', {leftover_mm: 20.22}], ['leftover 1, length 2', {leftover_mm: 53.5}], ['path', {path_open: true}], ['unload', {pulled_back: true}], ['coupler', {undone: true}], ['cut 1', {cut: true}], ['piece 1', {piece_mm: 99.8}]];
  const rows = pastOf(run('two_flags', []), said.map(([name, body], i) => /** @type {any} */ ({seq: i, kind: 'answered', name, body, wall_ms: 0})));
  assert.deepEqual(rows.map((r) => `${r.bead} ${r.strong} ${r.words}`.replace(/\u00a0/g, ' ')), ['ring 100.04 mm apart, two flags', 'hollow Flag set anew', 'ring 19.98 mm near flag', 'ring 20.22 mm far flag', 'ring 53.5 mm left of length 2', 'ring Path open', 'ring Filament pulled back', 'ring Coupler undone', 'splice Cut flush', 'ring 99.8 mm long, the piece']);
});

test('only ways that fit what a printer is fitted with are offered', () => {
  const fields = /** @type {any[]} */ ([{name: 'method', label: '', kind: 'choice', choices: ['inlet', 'two_flags', 'several_lengths', 'cold', 'tube_end', 'by_echo'].map((value) => ({value, label: `a ${value}`}))}]);
  const offered = (/** @type {any} */ setup) => waysIn(fields, setup).map((w) => w.value);
  assert.deepEqual(offered({drive: 'direct'}), ['inlet', 'two_flags', 'several_lengths', 'cold', 'by_echo']);
  assert.deepEqual(offered({drive: 'bowden', tube: {}}), ['inlet', 'two_flags', 'several_lengths', 'tube_end', 'by_echo']);
  assert.deepEqual(offered({drive: 'bowden'}), ['inlet', 'two_flags', 'several_lengths', 'by_echo']);
  assert.deepEqual(waysIn(fields, undefined).at(-1), {value: 'by_echo', label: 'A by_echo', good: ''});
});
