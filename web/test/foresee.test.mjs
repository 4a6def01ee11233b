// What is foreseen of another pass, what the ± is made of, and how several lengths lie: as the page says it, from what the
// agent has recorded (routines/feed/testdata/ways.json).

import assert from 'node:assert/strict';
import {readFileSync} from 'node:fs';
import {test} from 'node:test';
import {sheafOf, write} from '../draft.mjs';
import {markup} from './markup.mjs';
import {budget} from '../pages/budget.mjs';
import {ended} from '../pages/ended.mjs';
import {lengths} from '../pages/lengths.mjs';
import {question} from '../pages/question.mjs';
import {nothing} from '../state.mjs';
import {readingU95, stretchesOf} from '../stretch.mjs';

/** @type {any[]} */
const RECORDED = JSON.parse(readFileSync(new URL('../../routines/feed/testdata/ways.json', import.meta.url), 'utf8'));
const way = (/** @type {string} */ method) => RECORDED.find((w) => w.method === method);

/** @param {any} run @param {any[]} [entries] */
function page(run, entries = []) {
  /** @type {any[]} */
  const sent = [];
  const deeds = {write, answer: (/** @type {any[]} */ ...a) => sent.push(a[3]), go: (/** @type {string} */ hash) => sent.push(hash)};
  return {sent, p: /** @type {any} */ ({state: {...nothing, entries: {window: entries}}, now: 0, route: [], deeds}), run: /** @type {any} */ ({id: 'r1', printer: 'window', routine: 'feed_check', state: 'asking', answers: [], inputs: {}, begun: '2026-11-25T16:30:24Z', ...run})};
}

test('a better way is offered beside another pass, ends this check, and lies ready for the next', () => {
  const on = page({inputs: {method: 'several_lengths'}}), asked = {number: 9, asked: '', ...way('several_lengths').questions.at(-1)};
  const sheet = question(on.p, on.run, asked), better = sheet.links?.find((l) => l.label.startsWith('Two flags would give'));
  assert.match(better?.label ?? '', /±.0\.22.%/);
  assert.ok(better?.says?.startsWith(better.label), 'who hears it hears the words that are seen');
  better?.act?.();
  assert.deepEqual(on.sent, [{another: false}]);
  assert.equal(sheafOf('begin/window').fields.method, 'two_flags');
});

test('a forecast that the reason has is not said twice', () => {
  const on = page({}), q = (/** @type {string} */ reason) => ({number: 1, name: 'another 1', figure: 'cannot_tell', text: 'Another pass?', reason, asked: '', fields: [{name: 'another', label: 'Another pass', kind: 'yes'}], shown: {changes_of_100: 54, largest_part: 'pen line'}});
  const said = (/** @type {string} */ reason) => { const s = question(on.p, on.run, /** @type {any} */ (q(reason))); return [s.reason, s.warn, s.note].join(' | '); };
  assert.equal(said('Too near to 0.5 %. A caliper would decide.'), 'Too near to 0.5 %. | A caliper would decide. One more would change the finding in 54 of 100 cases. | The largest part of ± is pen line; more passes lessen it.');
  assert.equal(said('Off. It would change the finding in about 54 of 100 cases.').match(/54 of 100/g)?.length, 1);
});

test('a finding that names another way leads to it, and does not show what only a request needs', () => {
  const finding = {kind: 'leave', headline: 'Leave it at 93.00', reason: '', notes: way('several_lengths').notes, budget: []}, on = page({state: 'finished', finding, inputs: {method: 'several_lengths'}});
  const sheet = ended(on.p, on.run);
  assert.doesNotMatch(sheet.body?.map((b) => typeof b === 'object' && b && !Array.isArray(b) ? markup(b) : '').join('') ?? '', /method/);
  assert.ok(sheet.links?.some((l) => l.go === '#/runs/r1/lengths'));
  sheet.links?.find((l) => l.label.startsWith('Two flags would give'))?.act?.();
  assert.deepEqual(on.sent, ['#/begin/window']);
});

test('a check that was stopped has its whole passes to be taken over, whatever its way', () => {
  const links = (/** @type {string} */ method, /** @type {string[]} */ names) => { const on = page({state: 'stopped', inputs: {method, lengths: 3}, answers: names.map((name) => ({question: 1, name, answer: name.startsWith('piece') ? {piece_mm: 99.8} : {leftover_mm: 20}, at: '2026-11-25T16:30:24Z'}))}); const s = ended(on.p, on.run); return [s.action?.label, s.future?.length]; };
  assert.deepEqual(links('two_flags', ['flags 1', 'far flag 1']), ['A new run, from what was measured', 1]);
  assert.deepEqual(links('tube_end', ['piece 1']), ['A new run, from what was measured', 1]);
  assert.deepEqual(links('several_lengths', ['leftover 1, length 1', 'leftover 1, length 2']), ['Begin it anew', 0]);
  assert.deepEqual(links('several_lengths', ['leftover 1, length 1', 'leftover 1, length 2', 'leftover 1, length 3']), ['A new run, from what was measured', 1]);
});

test('the table of a ± says the factor, and its parts are those of the whole', () => {
  const rows = [3, 4].map((u, i) => ({name: i ? 'scatter' : 'pen line', type: 'A', distribution: 'normal', limit: 1, u, unit: 'mm', common: i === 0}));
  const on = page({state: 'finished', finding: {kind: 'leave', headline: '', reason: '', values: [{name: 'fed_mm', unit: 'mm', value: 97, u95: 12.71 * 5}], budget: rows}});
  const said = JSON.stringify(budget(on.p, on.run).long);
  assert.match(said, /12\.71 times/);
  assert.match(said, /64.*36.*100/);
  assert.match(said, /"scope":"row"/);
});

test('what a reading states follows from how it scatters and by how many times that is more', () => {
  // Residuals of 0.3, -0.6 and 0.3 mm about a line through three points scatter by √0.54 over one degree of freedom; stated
  // 0.2 mm each, that is a Birge ratio of √0.54 / 0.2.
  assert.ok(Math.abs((readingU95({off_mm: [0.3, -0.6, 0.3], birge_ratio: Math.sqrt(0.54) / 0.2}) ?? 0) - 0.4) < 1e-12);
  assert.equal(readingU95({off_mm: [0, 0, 0], birge_ratio: 4e-6}), null);
});

test('lengths are read from their entries, with strays and a bend named', () => {
  const body = {...way('several_lengths').pass, line: {fed_mm: 99.8, offset_mm: 0.12, offset_sd_mm: 0.1, birge_ratio: 3, curved: false, strays: [66.666667], off_mm: [-0.3, 0.6, -0.3]}};
  const entry = /** @type {any} */ ({id: 1, seq: 1, run: 'r1', printer: 'window', kind: 'feed_pass', body, wall_ms: 0});
  assert.deepEqual(stretchesOf([entry, {...entry, run: 'r2'}], 'r1').map((s) => s.reads.map((r) => r.stray)), [[false, true, false]]);
  const on = page({state: 'finished'}, [entry]), sheet = lengths(on.p, on.run);
  assert.equal(sheet.question, 'One reading lies off the line.');
  assert.match(sheet.reason ?? '', /66\.67/);
  assert.match(JSON.stringify(sheet.long), /\+0\.6.*stray/);
  assert.match(lengths(page({}, [{...entry, body: {...body, line: {...body.line, curved: true}}}]).p, on.run).question, /bend/);
  assert.match(lengths(page({}).p, on.run).question, /No lengths/);
});
