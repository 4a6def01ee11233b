// Numbers as they are typed, and what is said of them. Run: node --test web/test/

import assert from 'node:assert/strict';
import {test} from 'node:test';
import {judge, parseNumber, plusMinus, typed} from '../entry.mjs';
import {DRAWN} from '../texts-drawn.mjs';
import {SAID} from '../texts-said.mjs';
import {parts} from '../pages/caution.mjs';

const leftover = {name: 'leftover_mm', label: '', kind: /** @type {const} */ ('number'), unit: 'mm', min: 0, max: 120};
/** @type {import('../shapes/types.mjs').Derived} */
const derived = {name: 'went_in_mm', unit: 'mm', a: 120, b: -1, u95: 0.45, unlikely: [85, 115]};
const press = (/** @type {string} */ keys) => keys.split('').reduce(typed, '');

test('comma and point are alike', () => {
  assert.equal(parseNumber('87,4'), 87.4); // what a number input made 874 of
  assert.equal(parseNumber('87.4'), 87.4);
  assert.equal(press('23,04'), '23.04');
  for (const bad of ['', '.', '1e3', '0x10', '1 2', '1.2.3', 'NaN', 'Infinity', '--1']) assert.equal(parseNumber(bad), null, bad);
});

test('a key that would make no number of it changes nothing', () => {
  assert.equal(press('.5'), '0.5');
  assert.equal(press('1..5'), '1.5');
  assert.equal(press('1.234'), '1.23', 'two decimals');
  assert.equal(press('1234567'), '12345', 'five digits');
  assert.equal(press('007'), '7');
  assert.equal(typed('1.75', '3'), '1.75');
  assert.equal(typed('1.75', '3', 0.001), '1.753');
  assert.equal(typed('1.753', '3', 0.001), '1.753');
  assert.equal(typed('12', 'back'), '1');
  assert.equal(typed('12', 'x'), '12');
});

test('what is typed is judged by the question', () => {
  assert.deepEqual(judge('23.04', leftover, derived), {text: '23.04', value: 23.04, derived: 96.96, verdict: 'fine'});
  assert.equal(judge('2.3', leftover, derived).verdict, 'unlikely');
  assert.equal(judge('234', leftover, derived).verdict, 'impossible');
  assert.equal(judge('', leftover, derived).verdict, 'empty');
  assert.equal(judge('5', {...leftover, min: 10}).verdict, 'refused');
  assert.equal(judge('5', leftover, derived).verdict, 'fine', 'the bound itself is inside');
});

test('an uncertainty has two leading digits (JCGM 100:2008, 7.2.6)', () => {
  assert.deepEqual([0.452548, 1.26, 12.4, 0.0123].map(plusMinus), ['0.45', '1.3', '12', '0.012']);
});

test('a warning is taken apart and nothing of it is lost', () => {
  for (const w of ['Warning. Stay in the room while the machine heats. If you leave, press Stop.', 'Warning. Smoke, a burnt smell or a glow: switch off at the plug, then call for help. Do not open, do not restart.', 'Notice. One.', 'No signal here.']) {
    const {signal, what, then} = parts(w), words = (/** @type {string} */ s) => s.toLowerCase().match(/[a-z0-9]+/g);
    assert.deepEqual(words(`${signal} ${what} ${then}`), words(w));
  }
});

test('no text stands in two files', () => {
  assert.deepEqual(Object.keys(SAID).filter((id) => id in DRAWN), []);
});
