// The flow limit on the page, against a whole climb as the routine's own tests keep it (routines/feed/testdata).

import assert from 'node:assert/strict';
import test from 'node:test';

import {byFlow, climbOf, cost, topSpeed, usualLine} from '../climb.mjs';
import {sheafOf, write} from '../draft.mjs';
import {small} from '../figures/climb.mjs';
import {figureOf} from '../figures/index.mjs';
import {wholeBlocks} from '../flow-steps.mjs';
import {beginFlow} from '../pages/begin-flow.mjs';
import {curve} from '../pages/curve.mjs';
import {ended} from '../pages/ended.mjs';
import {flowFinding} from '../pages/flow-end.mjs';
import {flowFeeding, flowQuestion, withCurve} from '../pages/flow.mjs';
import {keyOf} from '../pages/question.mjs';
import {scene} from '../page.mjs';
import {nothing} from '../state.mjs';
import {futureOf, pastOf} from '../steps.mjs';
import {markup} from './markup.mjs';
import {CLIMB} from './scenes-flow.mjs';

Object.assign(globalThis, {innerWidth: 390});

const AREA_MM2 = CLIMB.entries[0].body.filament_area_mm2;
const entries = CLIMB.entries.map((/** @type {any} */ e, /** @type {number} */ i) => ({...e, id: i + 1, seq: i, run: 'r1', printer: 'window', wall_ms: 0}));
const printer = {id: 'window', name: 'Window', due: [], owed: [], line: {state: 'listening'}, setup: {version: 1, nozzle_bore_mm: 0.4, filament_diameter_mm: 1.75, feed_max_mm_per_s: 5}};
const value = (/** @type {string} */ name) => CLIMB.finding.values.find((/** @type {any} */ v) => v.name === name)?.value;

/** A page on a run of a climb, and what it sent. @param {any} over of the run @param {any} [state] */
function on(over, state = {}) {
  /** @type {object[]} */
  const sent = [];
  const run = /** @type {any} */ ({id: 'r1', printer: 'window', material: 'plum', routine: 'flow_limit', state: 'asking', inputs: {block_mm: 50, tolerance_percent: 2}, answers: [], ...over});
  const deeds = {write, begin: (/** @type {string} */ _key, /** @type {object} */ order) => sent.push(order), answer: (/** @type {string} */ _key, /** @type {string} */ _run, /** @type {number} */ _n, /** @type {object} */ answer) => sent.push(answer)};
  return {sent, run, p: /** @type {any} */ ({state: {...nothing, printers: {window: printer}, ...state}, now: 0, route: [], deeds})};
}

/** @param {number} n */
const question = (n) => ({number: 100 + n, asked: '2026-11-25T16:30:24Z', ...CLIMB.questions[n]});
const text = (/** @type {any} */ nodes) => [nodes].flat(9).filter(Boolean).map((/** @type {any} */ n) => typeof n === 'string' ? n : markup(n)).join('');

test('a climb is read from its entries, and before they are there from what was asked', () => {
  const whole = on({state: 'finished', finding: CLIMB.finding}, {entries: {window: entries}}), c = climbOf(whole.p, whole.run), body = CLIMB.entries.at(-1).body;
  assert.deepEqual(c.blocks.map((b) => [b.flow, Math.round(100 * (b.fed ?? 0)) / 100, Math.round(100 * (b.u95 ?? 0)) / 100, b.nozzleC]), body.read.map((/** @type {any} */ r) => [r.flow_mm3_per_s, r.fed_percent, r.u95_percent, r.nozzle_c]));
  assert.deepEqual([c.skipped, c.tolerance, Math.round(10 * c.level)], [[14, 16], 2, 999]);
  assert.deepEqual(byFlow(c.blocks).map((b) => b.flow), [2, 4, 6, 6.67, 7.33, 8]);
  const asking = on({question: question(6)}), so = climbOf(asking.p, asking.run);
  assert.deepEqual([so.blocks.length, so.blocks[3].fed, so.level], [4, 96.1, 100]);
});

test('the level that a climb falls from is the finding’s own where no entry says it', () => {
  // at_least, too_fast and too_few leave no entry of a limit; what is missing at low flow is among their values.
  for (const [short, level] of [[0.4, 99.6], [-0.2, 100.2], [undefined, 100]]) {
    const page = on({state: 'finished', finding: {kind: 'at_least', headline: '', reason: '', values: short === undefined ? [] : [{name: 'short_percent', unit: '%', value: short, u95: 0.5}]}}, {entries: {window: entries.filter((e) => e.kind === 'flow_block')}});
    assert.equal(Math.round(10 * climbOf(page.p, page.run).level) / 10, level);
  }
});

test('a climb that was stopped still leads to what it measured', () => {
  const page = on({state: 'stopped', cause: 'stopped by Ana'}, {entries: {window: entries.filter((e) => e.kind === 'flow_block')}}), none = on({state: 'stopped', cause: 'stopped by Ana'});
  assert.deepEqual(ended(page.p, page.run).links?.map((l) => l.go), ['#/runs/r1/curve', '#/printers/window']);
  assert.deepEqual(ended(none.p, none.run).links?.map((l) => l.go), ['#/printers/window']);
});

test('a flow is shown to the last digit of its ±', () => {
  // JCGM 100:2008, 7.2.6: an estimate is rounded to be consistent with its uncertainty.
  const drawn = (/** @type {number} */ work, /** @type {number} */ limit, /** @type {number} */ u95) => text(figureOf('flow_limit')?.draw(/** @type {any} */ ({width: 320, height: 260, sx: 26, col: 56, right: 306, narrow: true}),
    scene({run: /** @type {any} */ ({finding: {kind: 'found', values: [{name: 'flow_limit_mm3_per_s', unit: '', value: work, u95: u95 * 0.8}, {name: 'falls_at_mm3_per_s', unit: '', value: limit, u95}]}}), shown: {blocks: []}})));
  assert.match(drawn(7.193278, 8.991597, 0.983194), />7\.19<.*limit 8\.99 ±\u00a00\.98/s);
  assert.match(drawn(5.6, 7.04, 1.8), />5\.6<.*limit 7\.0 ±\u00a01\.8/s);
});

test('the top speed of the usual line is the finding’s own', () => {
  const line = usualLine(0.4);
  assert.deepEqual(line, {width: 0.45, height: 0.25});
  assert.ok(Math.abs((topSpeed(value('flow_limit_mm3_per_s'), line.width, line.height) ?? 0) - value('top_speed_mm_per_s')) < 1e-5);
  for (const [w, h] of [[0, 0.2], [0.4, null], [-1, -1]]) assert.equal(topSpeed(5, w, h), undefined);
});

test('what a climb takes at most is as much as the air question says', () => {
  const shown = CLIMB.questions[0].shown, takes = cost(16, 50, 1.75, 5);
  assert.equal(takes.flows, shown.flows_mm3_per_s.length);
  assert.equal(Math.round(takes.filamentMM * AREA_MM2), shown.volume_mm3);
  const air = on({question: question(0)});
  assert.equal(Math.round(flowQuestion(air.p, air.run, air.run.question).scene?.shown.commanded_mm * AREA_MM2), shown.volume_mm3);
  assert.ok(takes.seconds > 300 && takes.seconds < 1800, String(takes.seconds));
});

test('a block stands on the strand as what went in of it', () => {
  const {run} = on({question: question(6)}), q = CLIMB.questions[5], at = {run: 'r1', boot: '', mono_ms: 0, wall_ms: 0, wall_trusted: true};
  const said = (/** @type {object} */ body) => pastOf(run, [{...at, seq: 1, kind: 'asked', name: 'leftover 4', question: 9, body: q}, {...at, seq: 2, kind: 'answered', name: 'leftover 4', question: 9, body}])[0];
  assert.deepEqual([said({leftover_mm: 72.475161}).strong, said({leftover_mm: 72.475161}).words], ['96.1\u00a0%', 'at 8\u00a0mm³/s']);
  assert.deepEqual([said({instead: 'clicking'}).bead, said({instead: 'clicking'}).strong], ['hollow', 'Clicked']);
  assert.deepEqual(pastOf(run, [{...at, seq: 1, kind: 'done', name: 'feed 4', body: {commanded_mm: 50, nozzle_c: 207.6}}])[0].words, 'in, at 208\u00a0°C');
});

test('what is to come is what is left of a climb', () => {
  const words = (/** @type {any} */ over) => futureOf(on(over).run).length;
  assert.deepEqual([words({question: question(0)}), words({question: question(1)}), words({state: 'underway', doing: {what: 'feeding'}, answers: [{name: 'mark 1', answer: {}}]}), words({question: question(6), answers: [{name: 'leftover 1', answer: {}}]})], [5, 2, 1, 1]);
  assert.equal(wholeBlocks([/** @type {any} */ ({kind: 'whole', name: 'block 5'})]), 5);
});

test('a drive that clicks is said by two touches, and a digit takes it back', () => {
  const page = on({question: question(5)}), sheet = () => flowQuestion(page.p, page.run, page.run.question), cell = (/** @type {string} */ word) => /** @type {any} */ (sheet().grades?.[0]).kids.find((/** @type {any} */ k) => k.kids[0] === word);
  cell('It clicked').props.on.click();
  assert.deepEqual(page.sent, [], 'one touch ends the climb');
  sheet().keys?.('7');
  assert.equal(sheafOf(keyOf(page.run)).pick, '');
  cell('It ground').props.on.click();
  assert.match(sheet().action?.label ?? '', /ground/);
  sheet().action?.act?.();
  assert.deepEqual(page.sent, [{instead: 'grinding'}]);
});

test('nothing is said of the gear’s marks before one was touched', () => {
  const q = {number: 7, name: 'bite', figure: 'bite', text: 'How?', reason: '', asked: '', fields: [{name: 'bite', label: 'Marks', kind: 'choice', choices: ['shallow', 'deep', 'even', 'unseen'].map((v) => ({value: v, label: v}))}]};
  const page = on({question: q}), sheet = () => flowQuestion(page.p, page.run, /** @type {any} */ (q));
  assert.equal(sheet().action?.act, undefined);
  sheet().keys?.('enter');
  sheet().links?.find((l) => l.label === 'unseen')?.act?.();
  write(keyOf(page.run), {pick: 'even'});
  sheet().action?.act?.();
  assert.deepEqual(page.sent, [{bite: 'unseen'}, {bite: 'even'}]);
});

test('the numbers are a table, and what was skipped is named', () => {
  const page = on({state: 'finished', finding: CLIMB.finding}, {entries: {window: entries}}), html = text(curve(page.p, page.run).long);
  assert.equal(html.match(/<th scope="row">/g)?.length, 6);
  assert.match(html, /<caption>.*Skipped: 14, 16.*50\u00a0mm\/s.*5\.63\u00a0\/ \(0\.45\u00a0×\u00a00\.25\)/s);
  write('r1/curve', {fields: {width: 'no', height: '0.2'}});
  assert.doesNotMatch(text(curve(page.p, page.run).long), /NaN|undefined|none\/s/);
});

test('each finding has a way on', () => {
  for (const kind of ['found', 'at_least', 'short', 'too_fast', 'too_few', 'failed']) {
    const page = on({state: 'finished', finding: {...CLIMB.finding, kind}}, {entries: {window: kind === 'failed' ? [] : entries}}), sheet = flowFinding(page.p, /** @type {any} */ ({key: 'k'}), page.run, page.run.finding);
    assert.equal(sheet.action?.go, kind === 'found' ? '#/dockets/window/plum' : '#/begin/window/flow_limit');
    assert.equal(sheet.figure, kind === 'failed' ? 'failed' : 'flow_limit');
  }
});

test('a refusal opens what was refused, first of all, and a name that is no field is said as well', () => {
  const fields = [{name: 'gauge', label: 'Gauge', kind: 'choice', choices: [{value: 'half_mm_rule', label: 'Rule'}], default: 'half_mm_rule'}, {name: 'block_mm', label: 'Block', kind: 'number', default: 50}, {name: 'tolerance_percent', label: 'Tolerance', kind: 'number', default: 2}];
  const page = on({}, {routines: [{name: 'flow_limit', title: '', program: '', fields}], materials: {plum: {id: 'plum', name: 'Plum', nozzle_c: 210}}});
  page.p.route = ['begin', 'window', 'flow_limit'];
  const first = beginFlow(page.p);
  assert.match(`${first.reason} ${first.note}`, /50\u00a0mm.*16\u00a0mm³\/s at 210.*0\.43\u00a0m/);
  first.action?.act?.();
  assert.deepEqual(page.sent, [{printer: 'window', routine: 'flow_limit', material: 'plum', inputs: {gauge: 'half_mm_rule', block_mm: 50, tolerance_percent: 2}}]);
  const fault = (/** @type {string} */ field) => ({field, detail: `is wrong ${field}`, accept: 'another'});
  write(first.key, {problem: {type: '', title: 'No', status: 422, detail: '', code: '', errors: [fault('tolerance_percent'), fault('filament_diameter_mm')]}});
  const sheet = beginFlow(page.p), html = text(sheet.long);
  assert.ok(html.indexOf('is wrong tolerance_percent') > 0 && html.indexOf('is wrong tolerance_percent') < html.indexOf('Gauge'));
  assert.deepEqual(sheet.problem?.errors?.map((e) => e.field), ['filament_diameter_mm']);
});

test('what is fed before a mark is not a block', () => {
  const begun = (/** @type {string} */ name, /** @type {number} */ of) => { const page = on({}, {events: {r1: [{seq: 1, kind: 'begun', name}]}}); return flowFeeding(page.p, page.run, {what: 'feeding', of_mm: of}).figure; };
  assert.deepEqual([begun('pre-feed 5', 10), begun('feed 5', 50), begun('', 50), begun('', 10)], ['pre_feed', 'feeding', 'feeding', 'pre_feed']);
});

test('the small curve is drawn from whatever was read', () => {
  const page = on({question: question(6)});
  assert.match(text(withCurve(page.p, page.run, /** @type {any} */ ({})).body), /8 mm³\/s: 96\.1 %/);
  for (const x of [undefined, NaN, -1, 0, 100, 1e9]) for (const flows of [[], [2, 4]]) {
    assert.doesNotMatch(markup(small([{flow: 2, fed: 100}, {flow: 4, fed: x}], {flows, tolerance: 2, level: 100}, 250)), /NaN|Infinity|undefined/, `${x} of ${flows}`);
  }
});
