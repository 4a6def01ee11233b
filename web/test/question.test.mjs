// A number that the question proposes is said with one touch, and always sent in full: the agent takes no answer without it.

import assert from 'node:assert/strict';
import test from 'node:test';

import {write} from '../draft.mjs';
import {budget} from '../pages/budget.mjs';
import {keyOf, question} from '../pages/question.mjs';
import {nothing} from '../state.mjs';

const mark = {number: 3, name: 'mark 1', figure: 'mark', text: 'Mark it.', reason: '', asked: '2026-11-25T16:30:24Z',
  fields: [{name: 'mark_mm', label: 'Mark, from the inlet', kind: 'number', unit: 'mm', min: 105, max: 300, step: 0.25}],
  shown: {commanded_mm: 100, mark_mm: 120, rule_mm: 300, gauge: 'half_mm_rule'}};

/** A page on one run's open question, and what it sent. @param {string} id @param {any} q */
function asked(id, q) {
  /** @type {object[]} */
  const sent = [];
  const run = /** @type {any} */ ({id, printer: 'window', material: 'plum', state: 'asking', question: q, answers: [], inputs: {}});
  const p = /** @type {any} */ ({state: nothing, now: 0, route: [], deeds: {write, answer: (/** @type {string} */ _key, /** @type {string} */ _run, /** @type {number} */ _n, /** @type {object} */ answer) => sent.push(answer)}});
  return {sent, run, sheet: () => question(p, run, q)};
}

test('one touch sends the mark that is proposed, as a number', () => {
  const page = asked('r-touch', mark), sheet = page.sheet();
  assert.match(sheet.action?.label ?? '', /120/);
  assert.equal(sheet.entry, undefined, 'the pad is open before it is asked for');
  sheet.action?.act?.();
  assert.deepEqual(page.sent, [{mark_mm: 120}]);
});

test('another distance is typed and sent instead', () => {
  const page = asked('r-other', mark);
  write(keyOf(page.run), {text: '131.5', open: true});
  page.sheet().action?.act?.();
  assert.deepEqual(page.sent, [{mark_mm: 131.5}]);
});

test('a number that nothing proposes is asked for', () => {
  const page = asked('r-asked', {...mark, figure: 'leftover', fields: [{...mark.fields[0], name: 'leftover_mm', min: 0, max: 120}]});
  const sheet = page.sheet();
  assert.ok(sheet.entry);
  sheet.action?.act?.();
  assert.deepEqual(page.sent, []);
});

test('the parts of a ± are expanded as the ± itself is', () => {
  const row = {name: 'scatter of the passes', type: 'A', distribution: 'normal', limit: 1, limit_unit: 'mm', u: 0.5, unit: 'steps/mm', common: false};
  const finding = {kind: 'change', headline: '', reason: '', budget: [row], values: [{name: 'steps_per_mm', unit: 'steps/mm', value: 93, u95: 2.2}]};
  const p = /** @type {any} */ ({state: nothing, now: 0, route: [], deeds: {}});
  const run = /** @type {any} */ ({id: 'r-budget', printer: 'window', state: 'finished', finding, answers: [], inputs: {}});
  assert.match(budget(p, run).reason, /2\.2/);
});
