// The gauge is said once: what another page begins with, and what is never sent to an agent that would refuse it.

import assert from 'node:assert/strict';
import {beforeEach, test} from 'node:test';
import {inputsOf, keepMine, mineOf} from '../mine.mjs';

const gauges = (/** @type {string[]} */ ...names) => names.map((value) => ({value, label: value}));
const number = (/** @type {string} */ name, /** @type {number} [usual] */ usual) => ({name, label: '', kind: 'number', ...(usual === undefined ? {optional: true} : {default: usual})});
const FIELDS = /** @type {any[]} */ ([{name: 'gauge', label: '', kind: 'choice', default: 'half_mm_rule', choices: gauges('mm_rule', 'half_mm_rule', 'caliper', 'own')}, number('rule_mm', 300),
  {name: 'rule_class', label: '', kind: 'choice', default: 'II', choices: gauges('I', 'II', 'III')}, number('own_division_mm'), number('own_limit_mm')]);

beforeEach(() => {
  /** @type {Map<string, string>} */
  const box = new Map();
  globalThis.localStorage = /** @type {any} */ ({getItem: (/** @type {string} */ k) => box.get(k) ?? null, setItem: (/** @type {string} */ k, /** @type {string} */ v) => box.set(k, v)});
});

test('what was begun with once is what the next begins with', () => {
  assert.deepEqual(inputsOf(FIELDS, {}), {gauge: 'half_mm_rule', rule_mm: 300, rule_class: 'II'});
  keepMine(FIELDS, inputsOf(FIELDS, {gauge: 'mm_rule', rule_class: 'I', rule_mm: '1000'}));
  assert.deepEqual(inputsOf(FIELDS, {}), {gauge: 'mm_rule', rule_mm: 1000, rule_class: 'I'});
});

test('a gauge of my own is described once, and its numbers go with no other', () => {
  keepMine(FIELDS, inputsOf(FIELDS, {gauge: 'own', own_division_mm: '0,1', own_limit_mm: '0.2'}));
  assert.deepEqual(inputsOf(FIELDS, {}), {gauge: 'own', rule_mm: 300, own_division_mm: 0.1, own_limit_mm: 0.2});
  assert.deepEqual(inputsOf(FIELDS, {gauge: 'caliper'}), {gauge: 'caliper', rule_mm: 300});
});

test('a caliper is not as long as the rule before it', () => {
  keepMine(FIELDS, inputsOf(FIELDS, {gauge: 'mm_rule', rule_mm: '2000'}));
  assert.equal(inputsOf(FIELDS, {gauge: 'caliper'}).rule_mm, 300);
  assert.equal(inputsOf(FIELDS, {}).rule_mm, 2000);
});

test('a gauge that is not offered, or a memory that is none, changes nothing', () => {
  keepMine(FIELDS, {gauge: 'mm_rule'});
  const calipers = [{...FIELDS[0], default: 'caliper', choices: gauges('caliper')}];
  assert.equal(mineOf(calipers)[0].default, 'caliper');
  localStorage.setItem('fettle my gauge', 'no such thing');
  assert.deepEqual(inputsOf(FIELDS, {}).gauge, 'half_mm_rule');
  globalThis.localStorage = /** @type {any} */ (undefined);
  keepMine(FIELDS, {gauge: 'caliper'});
  assert.deepEqual(inputsOf(FIELDS, {}).gauge, 'half_mm_rule');
});

test('a caliper for the width does not take the place of the rule along the filament', () => {
  const across = [{...FIELDS[0], default: 'digital_caliper', choices: gauges('caliper', 'digital_caliper', 'own')}];
  keepMine(FIELDS, inputsOf(FIELDS, {gauge: 'mm_rule'}));
  assert.equal(mineOf(across)[0].default, 'digital_caliper');
  keepMine(across, {gauge: 'caliper'});
  assert.equal(mineOf(FIELDS)[0].default, 'mm_rule');
  assert.equal(mineOf(across)[0].default, 'caliper');
});
