// Diameter and drift: what counts, what is said of it, and that a caliper that types needs no touch.

import assert from 'node:assert/strict';
import test from 'node:test';

import {write} from '../draft.mjs';
import {countedOf} from '../figures/diameter.mjs';
import {readsOf} from '../figures/across.mjs';
import {beginDiameter, readings, sectionOf} from '../pages/diameter.mjs';
import {addressOf, askedIn, driftPath} from '../pages/drift-ask.mjs';
import {drift, headline} from '../pages/drift.mjs';
import {keyOf, question} from '../pages/question.mjs';
import {nothing, reduce} from '../state.mjs';
import {pastOf} from '../steps.mjs';
import {markup} from './markup.mjs';
import {READ, drifting} from './scenes-chart.mjs';

const NOW = Date.UTC(2026, 10, 25);
const WHOLE = 'one beyond the limit with its whole ±';

/** @param {any[]} answers */
const run = (answers) => /** @type {any} */ ({id: 'r1', printer: 'window', material: 'plum', routine: 'filament_diameter', state: 'finished', inputs: {}, answers});
const answered = READ.map((mm, i) => ({question: i + 1, name: `reading ${i + 1}`, answer: {across_mm: mm}, at: ''}));

/** @param {any} state @param {string[]} route @param {any} [deeds] @returns {Page} */
const page = (state, route, deeds = {}) => /** @type {any} */ ({state: {...nothing, ...state}, now: NOW, route, deeds: {write, ...deeds}});

test('a reading that was asked again counts as it was then', () => {
  const all = countedOf(run([...answered, {question: 11, name: 'reading 3, again', answer: {across_mm: 1.78}, at: ''}, {question: 12, name: 'apply', answer: {apply: 'write'}, at: ''}]));
  assert.deepEqual(all, READ.map((v, i) => i === 2 ? 1.78 : v));
  assert.deepEqual(readsOf(all)[2], {place: 2, square: false, mm: 1.78});
  assert.deepEqual(readsOf(all)[9], {place: 5, square: true, mm: 1.74});
});

test('each reading stands on the strand with its place and its way', () => {
  const words = pastOf(run([answered[2], answered[3], {...answered[3], question: 11, name: 'reading 4, again'}]), []).map((r) => `${r.strong} ${r.words}`);
  assert.deepEqual(words, ['1.73\u00a0mm place 2', '1.75\u00a0mm place 2, a quarter turn on', '1.75\u00a0mm place 2, a quarter turn on, again']);
});

test('digits, a point and Enter record a reading with nothing touched before', () => {
  /** @type {object[]} */
  const sent = [];
  const q = /** @type {any} */ ({number: 1, name: 'reading 1', figure: 'across', text: '', reason: '', asked: '', fields: [{name: 'across_mm', label: 'Across', kind: 'number', unit: 'mm', min: 0.875, max: 3.15}], shown: {place: 1, places: 5, nominal_mm: 1.75, read_mm: []}});
  const r = {...run([]), id: 'r-caliper', state: 'asking', question: q}, p = page({}, [], {answer: (/** @type {any} */ _key, /** @type {any} */ _run, /** @type {any} */ _n, /** @type {object} */ answer) => sent.push(answer)});
  assert.equal(question(p, r, q).action?.label, 'Record', 'a number lies ready that nobody read');
  for (const key of ['1', '.', '7', '4', 'enter']) question(p, r, q).keys?.(key);
  assert.deepEqual(sent, [{across_mm: 1.74}]);
  write(keyOf(r), {text: '17.4'});
  question(p, r, q).keys?.('enter');
  assert.equal(sent.length, 1, 'what no filament can be was recorded');
});

test('the readings are a table with a named row for each place', () => {
  const html = (readings(page({}, []), {...run(answered), finding: {kind: 'diameter', headline: '', reason: '', values: [{name: 'filament_diameter_mm', unit: 'mm', value: 1.744}, {name: 'oval_mm', unit: 'mm', value: 0.009}]}}).long ?? []).map((n) => markup(/** @type {any} */ (n))).join('');
  assert.equal(html.match(/<th scope="row">/g)?.length, 6);
  assert.equal(html.match(/<caption>/g)?.length, 1);
  assert.match(html, /<th scope="row">2<\/th><td>1\.73<\/td><td>1\.75<\/td><td>1\.740<\/td><td>0\.02<\/td>/);
});

test('readings say what stood on the spool', () => {
  const said = (/** @type {any} */ inputs) => readings(page({}, []), {...run(answered), inputs}).reason ?? '';
  assert.match(said({spool: '7, opened in May'}), /^Spool: 7, opened in May\. Along/);
  assert.match(said({}), /^Along/);
});

test('the section stands beside that of the size the setup has', () => {
  // 1.75 mm has 2.405 mm², 2.85 mm has 6.379 mm²: a circle's area, tables of filament have the same.
  const f = /** @type {any} */ ({values: [{name: 'section_mm2', unit: 'mm²', value: 2.389}]});
  assert.match(sectionOf(f, /** @type {any} */ ({filament_diameter_mm: 1.75}))[0], /2\.389.*1\.75.*2\.405/);
  assert.match(sectionOf(f, /** @type {any} */ ({filament_diameter_mm: 2.85}))[0], /6\.379/);
  assert.deepEqual(sectionOf(/** @type {any} */ ({}), undefined), []);
});

test('one tap begins with the usual readings; what stands on the spool goes along', () => {
  /** @type {any[]} */
  const orders = [];
  const fields = [{name: 'gauge', label: '', kind: 'choice', default: 'digital_caliper', choices: [{value: 'caliper', label: ''}, {value: 'digital_caliper', label: ''}]}, {name: 'readings', label: '', kind: 'number', default: 10}, {name: 'spool', label: '', kind: 'text', optional: true}];
  const state = {routines: [{name: 'filament_diameter', title: '', program: '', fields}], printers: {window: {id: 'window', name: 'Window', line: {state: 'listening'}}}, materials: {plum: {id: 'plum', name: 'Plum PLA (invented)'}}};
  const p = page(state, ['begin', 'window', 'filament_diameter', 'plum'], {begin: (/** @type {string} */ _key, /** @type {object} */ order) => orders.push(order)});
  beginDiameter(p).action?.act?.();
  write('begin/window/filament_diameter', {fields: {spool: '7, opened in May', readings: '20'}});
  assert.match(beginDiameter(p).reason ?? '', /^10 places/);
  beginDiameter(p).keys?.('enter');
  assert.deepEqual(orders.map((o) => o.inputs), [{gauge: 'digital_caliper', readings: 10}, {gauge: 'digital_caliper', readings: 20, spool: '7, opened in May'}]);
  assert.equal(orders[0].material, 'plum');
});

test('the headline says what the checks say', () => {
  const rate = {per_day: 0.004, per_day_u95: 0.031}, signal = (/** @type {string} */ rule, /** @type {string} */ chart, from = 0, to = 5) => ({rule, chart, from, to});
  const said = (/** @type {any} */ over) => headline(drifting(6, () => 0, {...rate, ...over}), NOW).question;
  assert.equal(said({}), 'It stays where it was.');
  assert.equal(said({per_day: undefined, per_day_u95: undefined}), 'Too few checks to tell.');
  assert.equal(said({again: '2026-12-20T09:12:00Z'}), 'It stays where it was.');
  assert.equal(said({again: '2026-11-20T09:12:00Z'}), 'Check the feed again.');
  assert.equal(said({signals: [signal(WHOLE, 'individuals', 5, 5)]}), 'Check the feed again.');
  assert.notEqual(said({signals: [signal(WHOLE, 'individuals', 2, 2)]}), 'Check the feed again.', 'what lay outside long ago is not news');
  assert.match(said({per_day: -0.0234, per_day_u95: 0.011, signals: [signal('it drifts: the checks go one way by more than the gauge explains', 'trend')]}), /^It drifts by −0\.023 steps\/mm a/);
  assert.equal(said({signals: [signal('the average is beyond its limit', 'ewma')]}), 'The average is beyond its limit.');
});

test('rules of a stretch that has ended are not what is so now', () => {
  const d = drifting(6, () => 0, {per_day: 0.004, per_day_u95: 0.03, signals: [{rule: 'the average is beyond its limit', chart: 'ewma', from: 1, to: 2}]});
  d.checks.forEach((k, i) => { k.stretch = i < 3 ? 0 : 1; });
  assert.equal(headline(d, NOW).question, 'It stays where it was.');
});

test('a drift that is told is drawn, with each check in a table, and other setups behind links', () => {
  const d = drifting(24, (i) => i / 10, {setups: [{version: 2, checks: 4}, {version: 3, checks: 24}]}), printer = {id: 'window', name: 'Window', line: {state: 'listening'}, setup: {version: 3}};
  const state = reduce(/** @type {any} */ ({...nothing, printers: {window: printer}}), {type: 'drift', key: '/v1/printers/window/drift', drift: d}, NOW), sheet = drift(page(state, ['drift', 'window']));
  const html = (sheet.long ?? []).map((n) => markup(/** @type {any} */ (n))).join('');
  assert.equal(html.match(/<th [^>]*scope="rowgroup"/g)?.length, 24);
  assert.ok(sheet.links?.some((l) => l.go === '#/drift/window/2'));
  assert.equal(sheet.action?.go, '#/begin/window');
  assert.equal(drift(page(state, ['drift', 'window', '2'])).figure, undefined, 'the checks of one setup are shown as those of another');
});

test('an address of a chart says which checks are asked for, and how far they may go', () => {
  for (const [asked, hash, path] of /** @type {Array<[any, string, string]>} */ ([
    [{}, '#/drift/window', '/v1/printers/window/drift'], [{setup: '2'}, '#/drift/window/2', '/v1/printers/window/drift?setup=2'],
    [{material: 'plum'}, '#/drift/window/now/plum', '/v1/printers/window/drift?material=plum'],
    [{setup: '2', material: 'plum', tolerance: '0.5'}, '#/drift/window/2/plum/0.5', '/v1/printers/window/drift?setup=2&material=plum&tolerance_percent=0.5'],
    [{tolerance: '2'}, '#/drift/window/now/any/2', '/v1/printers/window/drift?tolerance_percent=2']])) {
    assert.equal(addressOf('window', asked), hash);
    assert.equal(driftPath('window', askedIn(hash.slice(2).split('/'))), path);
  }
});

test('filament and tolerance of a chart are said as fields, within what the agent takes', () => {
  /** @type {string[]} */
  const gone = [];
  const d = drifting(6, () => 0), printer = {id: 'window', name: 'Window', line: {state: 'listening'}, setup: {version: 3}}, check = (/** @type {string} */ material, setup = 3) => ({printer: 'window', kind: 'feed_check', setup_version: setup, material, id: 1, wall_ms: 0});
  const p = page({printers: {window: printer}, drifts: {'/v1/printers/window/drift': d}, materials: {plum: {id: 'plum', name: 'Plum PLA (invented)'}}, entries: {window: [check('plum'), check('plum'), check('sand'), check('old', 2)]}}, ['drift', 'window'], {go: (/** @type {string} */ hash) => gone.push(hash)});
  const words = () => markup(/** @type {any} */ (drift(p).entry?.[0]));
  drift(p).links?.find((l) => l.label === 'Filament, tolerance')?.act?.();
  assert.deepEqual([...words().matchAll(/role="radio"[^>]*>(?:<[^>]*>)*([^<]+)/g)].map((m) => m[1]), ['any filament', 'Plum PLA', 'sand'], 'those that this setup was checked with');
  write('drift/window///', {fields: {tolerance_percent: '11', material: 'plum'}});
  drift(p).keys?.('enter');
  assert.deepEqual(gone, []);
  assert.match(words(), /is 11\. Accepted: 0\.1 to 10/);
  write('drift/window///', {fields: {tolerance_percent: '0,5', material: 'plum'}});
  drift(p).keys?.('enter');
  assert.deepEqual(gone, ['#/drift/window/now/plum/0.5']);
  assert.equal(drift(p).figure, 'drift', 'what was said is kept in the address alone');
  drift(p).links?.find((l) => l.label === 'Filament, tolerance')?.act?.();
  p.state = {...p.state, entries: {}};
  assert.doesNotMatch(words(), /role="radio"/, 'one filament is no choice');
  drift(p).links?.[0].act?.();
});

test('a rate has its unit beside it and what it is per below, so that both stay on a narrow screen', () => {
  const d = drifting(6, () => 0, {per_day: 0.01, per_day_u95: 0.05}), printer = {id: 'window', name: 'Window', line: {state: 'listening'}, setup: {version: 3}};
  const {number} = drift(page({printers: {window: printer}, drifts: {'/v1/printers/window/drift': d}}, ['drift', 'window'])).scene?.shown ?? {};
  assert.deepEqual([number.value, number.unit, number.below], ['+0.010', 'steps/mm', 'a day, ±\u00a00.050']);
});
