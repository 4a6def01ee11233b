// What is on record, as it is shown: to the last digit of its ±, with its unit, and said for what it is.

import assert from 'node:assert/strict';
import test from 'node:test';

import {toItsDigit} from '../figures/words.mjs';
import {dockets} from '../pages/docket.mjs';
import {logbook} from '../pages/logbook.mjs';
import {nothing} from '../state.mjs';
import {markup} from './markup.mjs';

const printer = {id: 'window', name: 'Window', line: {state: 'listening'}, setup: {version: 1}};

/** @param {any} state @param {string[]} route @returns {Page} */
const page = (state, route) => /** @type {any} */ ({state: {...nothing, printers: {window: printer}, materials: {plum: {id: 'plum', name: 'Plum PLA (invented)'}}, ...state}, now: 0, route, deeds: {}});
const text = (/** @type {any} */ nodes) => [nodes].flat(9).filter(Boolean).map((/** @type {any} */ n) => typeof n === 'string' ? n : markup(n)).join('').replace(/<[^>]*>/g, '|').replace(/\|+/g, '|');

test('a value is rounded where its ± is', () => {
  // JCGM 100:2008, 7.2.6: an estimate is rounded to be consistent with its uncertainty, of two digits at most.
  for (const [value, u95, want] of /** @type {Array<[number, number|undefined, string]>} */ ([[1.74, 0.024766, '1.740'], [7.193278, 0.786555, '7.19'], [50, 0.27, '50.00'], [433.2, 1.9, '433.2'], [240, undefined, '240'], [0.8, 0, '0.8']])) assert.equal(toItsDigit(value, u95), want);
});

test('a docket says its values with their ±, on their own page to the digit of it, a factor without a unit, and a flow as one to work with', () => {
  const row = (/** @type {string} */ kind, /** @type {string} */ unit, /** @type {number} */ value, /** @type {number} */ u95, source = 'measured') => ({kind, label: kind, unit, value, u95, from: {source, how: 'measured by run r4', entry: 16}, fresh: true, stale: [], earlier: []});
  const said = (/** @type {any} */ r, place = '') => text(dockets(page({dockets: {'window/plum': {printer: 'window', material: 'plum', setup_version: 1, due: [], rows: [r]}}}, ['dockets', 'window', 'plum', place])).long);
  assert.match(said(row('filament_diameter_mm', 'mm', 1.74, 0.024766), 'filament_diameter_mm'), /\|1\.740\|.*mm\|±\u00a00\.025\u00a0mm\|/);
  assert.match(said(row('filament_diameter_mm', 'mm', 1.74, 0.024766)), /\|1\.74\| \|±\u00a00\.025\u00a0mm\|/);
  assert.match(said(row('flow_factor', '1', 0.98, 0.012)), /\|0\.98\| \|±\u00a00\.012\|/);
  assert.match(said(row('flow_limit_mm3_per_s', 'mm³/s', 7.193278, 0.786555)), /\|7\.19\| \|±\u00a00\.79\u00a0mm³\/s\|.*0\.8 of where it falls/);
  assert.doesNotMatch(said(row('flow_limit_mm3_per_s', 'mm³/s', 8, 0, 'typed')), /of where it falls/, 'what a person typed was made out to be a part of something');
});

test('what is typed into a slicing program has no unit that is none, and says which flow it is', () => {
  const row = (/** @type {string} */ kind, /** @type {string} */ label, /** @type {string} */ unit, /** @type {number} */ value, /** @type {number} */ u95) => ({kind, label, unit, value, u95, from: {source: 'measured', how: ''}, fresh: true, stale: [], earlier: []});
  const rows = [row('flow_factor', 'Flow factor', '1', 0.98, 0.012), row('flow_limit_mm3_per_s', 'Flow limit', 'mm³/s', 7.193278, 0.786555)];
  const said = text(dockets(page({dockets: {'window/plum': {printer: 'window', material: 'plum', setup_version: 1, due: [], rows}}}, ['dockets', 'window', 'plum', 'hand-over'])).long);
  assert.match(said, /\|Flow factor\|0\.980\|/);
  assert.match(said, /\|Flow limit, to work with\|7\.19\u00a0mm³\/s\|/);
});

test('the logbook says each number to the digit of its ±', () => {
  const rows = text(logbook(page({entries: {window: [{id: 10, printer: 'window', run: 'r4', kind: 'flow_block', value: 50, unit: 'mm', u95: 0.27, wall_ms: 0, body: {flow_mm3_per_s: 4}}]}}, ['logbook'])).rows);
  const wide = text(logbook(page({entries: {window: [{id: 11, printer: 'window', run: 'r3', kind: 'filament_diameter_mm', value: 1.74, unit: 'mm', u95: 0.025, wall_ms: 0, body: {spool: '7, opened in May'}}]}}, ['logbook'])).rows);
  assert.match(wide, /1\.740\u00a0±\u00a00\.025\u00a0mm\|filament, across, 7, opened in May\|/, 'what stands on the spool was asked for, and said nowhere');
  assert.match(rows, /50\.00\u00a0±\u00a00\.27\u00a0mm\|fed at 4\u00a0mm³\/s\|10/);
});
