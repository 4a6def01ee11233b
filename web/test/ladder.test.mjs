// The ladders: what is recorded of a piece and when, what a finger meets, how far a piece is, and what is asked for only
// after a refusal. And the dockets in the state. Run: node --test web/test/

import assert from 'node:assert/strict';
import test from 'node:test';
import {sheafOf, write} from '../draft.mjs';
import {setupOf, stepsOf} from '../fitting.mjs';
import {figures} from '../figures/index.mjs';
import {beginLadder} from '../pages/begin.mjs';
import {dockets, wayTo} from '../pages/docket.mjs';
import {answerOf, gradeOf, graded, grades, left} from '../pages/grades.mjs';
import {partOf} from '../pages/ladder.mjs';
import {nothing, reduce} from '../state.mjs';
import {t} from '../texts.mjs';
import {markup} from './markup.mjs';
import {asking, drawing} from './scenes.mjs';

const at = '2026-11-25T16:30:24Z', LETTERS = Array.from('abcdefgh'), FIVE = ['clean', 'hairs', 'threads', 'strings', 'web'].map((value) => ({value, label: value}));

/** The question as routines/ladder/grades.go asks it. */
const question = () => ({number: 4, name: 'grades 1', figure: 'grades', text: '', reason: '', asked: at, shown: {drawing: drawing()}, fields: /** @type {any[]} */ ([
  ...LETTERS.flatMap((x) => [{name: `${x}_grade`, kind: 'choice', label: '', choices: [...FIVE, {value: 'not_judged', label: ''}]}, ...[6, 9, 14, 22].map((g) => ({name: `${x}_gap_${g}_mm`, kind: 'choice', label: '', optional: true, choices: FIVE})), {name: `${x}_voids`, kind: 'yes', label: '', default: false}]),
  ...['clicking', 'ground', 'clogged'].map((name) => ({name, kind: 'yes', label: name, default: false})),
  {name: 'spoiled', kind: 'choice', label: '', default: 'none', choices: ['none', 'post_fell'].map((value) => ({value, label: value}))}, {name: 'spoiled_from', kind: 'choice', label: '', optional: true, choices: LETTERS.map((value) => ({value, label: value}))}])});

/** A page on a run that asks for grades, and what it sent. @param {string} id @param {any} [entries] */
function page(id, entries = {}) {
  /** @type {any[]} */
  const sent = [];
  const q = question(), run = /** @type {any} */ ({id, printer: 'window', routine: 'retraction_ladder', state: 'asking', begun: at, last_seq: 1, answers: [], question: q});
  const p = /** @type {any} */ ({state: {...nothing, entries}, now: Date.parse(at), route: ['runs', id], deeds: {write, answer: (/** @type {any[]} */ ...a) => sent.push(a[3])}});
  return {sent, sheet: () => grades(p, run, q), sheaf: () => sheafOf(`${id}/4`)};
}

test('nothing is recorded before all whole bands have a grade and the person says so', () => {
  globalThis.document ??= /** @type {any} */ ({activeElement: null});
  const on = page('g1');
  for (const digit of ['4', '3', '2', '2', '1', '1', '0']) { on.sheet().keys?.(digit); on.sheet().keys?.('enter'); }
  assert.match(on.sheet().question, /band H/);
  write('g1/4', {step: 1});
  assert.equal(on.sheet().action?.label, t('whole.left1'));
  on.sheet().action?.act?.();
  assert.deepEqual(on.sent, []);
  assert.equal(on.sheaf().step, 0, 'it leads back to the bands');
  on.sheet().keys?.('0');
  assert.deepEqual(on.sent, []);
  on.sheet().keys?.('enter');
  assert.equal(on.sheet().action?.label, t('whole.record'));
  on.sheet().action?.act?.();
  assert.deepEqual(LETTERS.map((x) => on.sent[0][`${x}_grade`]), ['web', 'strings', 'threads', 'threads', 'hairs', 'hairs', 'clean', 'clean']);
  assert.deepEqual([on.sent[0].clicking, on.sent[0].a_voids, on.sent[0].spoiled, 'spoiled_from' in on.sent[0]], [false, false, 'none', false]);
});

test('keys that come faster than the page is drawn mean the band that they are at by then', () => {
  globalThis.document ??= /** @type {any} */ ({activeElement: null});
  const on = page('g9'), sheet = on.sheet(); // drawn once, and not again
  for (const digit of ['4', '3', '2', '2', '1', '1', '0', '0']) { sheet.keys?.(digit); sheet.keys?.('enter'); }
  assert.deepEqual(LETTERS.map((x) => on.sheaf().fields[`${x}_grade`]), ['web', 'strings', 'threads', 'threads', 'hairs', 'hairs', 'clean', 'clean']);
  assert.equal(on.sheaf().step, 1, 'all are judged, and the whole piece is next');
  sheet.arrows?.('down');
  sheet.arrows?.('down');
  assert.equal(on.sheaf().pick, '5');
});

test('values stay hidden while a piece is judged, though the logbook has them already', () => {
  const on = page('g2', {window: [{id: 1, kind: 'piece', run: 'g2', printer: 'window', body: {piece: 1, values: [0.37, 0.62]}}]}), sheet = on.sheet();
  const drawn = figures.grades.draw(/** @type {any} */ ({width: 390, height: 430, sx: 34, col: 72, right: 370}), /** @type {any} */ (sheet.scene));
  const words = [...drawn, ...(sheet.grades ?? [])].map((n) => markup(/** @type {any} */ (n))).join('').replace(/ (d|x|y|x1|x2|y1|y2|cx|cy|r|width|height)="[^"]*"/g, '') + sheet.question + sheet.reason;
  assert.match(words, /Band A/);
  assert.doesNotMatch(words, /0\.37|0\.62/);
});

test('a gap that differs has its own grade until its band is judged anew', () => {
  const band = {letter: 'd', gaps: question().fields.filter((f) => f.name.startsWith('d_gap'))};
  const one = graded(graded({}, band, -1, 'threads'), band, 0, 'hairs');
  assert.deepEqual(one, {d_grade: 'threads', d_gap_6_mm: 'hairs'});
  assert.deepEqual(graded(one, band, -1, 'web'), {d_grade: 'web'});
  const all = Object.fromEntries(LETTERS.map((x) => [`${x}_grade`, 'hairs']));
  assert.equal(answerOf(question(), {...all, d_gap_6_mm: 'hairs', d_gap_9_mm: 'web'}).d_gap_6_mm, undefined, 'the same as its band says nothing');
  assert.equal(answerOf(question(), {...all, d_gap_9_mm: 'web'}).d_gap_9_mm, 'web');
});

test('from the band on that was spoiled nothing is judged, and what was said of those bands is kept in the draft alone', () => {
  const said = {a_grade: 'web', b_grade: 'hairs', g_grade: 'clean', g_gap_6_mm: 'web', spoiled: 'post_fell', spoiled_from: 'c'};
  assert.deepEqual(LETTERS.map((x) => gradeOf(said, x)), ['web', 'hairs', ...Array(6).fill('not_judged')]);
  assert.equal(left(question(), said), 0);
  const answer = answerOf(question(), said);
  assert.deepEqual([answer.g_grade, answer.g_gap_6_mm, answer.spoiled_from], ['not_judged', undefined, 'c']);
  assert.equal(gradeOf({...said, spoiled: 'none'}, 'g'), 'clean');
});

test('what a finger meets tiles the piece: 48 px each way, no gap, no overlap', () => {
  for (const width of [320, 359, 390, 480]) for (const height of [figures.grades.least, 300, 430, figures.grades.most]) for (const post of [6, 10]) {
    const narrow = width < 360, f = {width, height, sx: narrow ? 26 : 34, col: narrow ? 56 : 72, right: width - (narrow ? 14 : 20), narrow, still: false};
    const areas = figures.grades.draw(f, asking({drawing: drawing(post), said: []}, {pick: '3'})).filter((n) => n.props.role === 'button').map((n) => /** @type {any} */ (n.kids[0]).props);
    assert.ok(areas.length >= 4 * 3 && areas.length % 4 === 0, `${areas.length}`);
    for (const a of areas) {
      assert.ok(a.width >= 48 && a.height >= 48, `${width} x ${height}, ${post}: ${a.width} x ${a.height}`);
      const right = areas.filter((b) => b.y === a.y && b.x > a.x).map((b) => b.x);
      assert.ok(Math.abs(Math.min(...right, width) - a.x - a.width) < 0.05, `${width} x ${height}: a seam at ${a.x}`);
    }
  }
});

test('one cell is in the tab order, the arrows go through the others, and each says where it is', () => {
  const on = page('g3'), cells = () => figures.grades.draw(/** @type {any} */ ({width: 390, height: 430, sx: 34, col: 72, right: 370}), /** @type {any} */ (on.sheet().scene)).filter((n) => n.props.role === 'button');
  const here = () => cells().filter((n) => n.props.tabindex === 0).map((n) => n.props['aria-label']);
  assert.deepEqual(here(), ['Band A, 6 mm gap, no grade yet']);
  for (const arrow of /** @type {const} */ (['up', 'up', 'right', 'right'])) on.sheet().arrows?.(arrow);
  assert.deepEqual(here(), ['Band C, 9 mm gap, no grade yet']);
  on.sheet().keys?.('3');
  assert.deepEqual(here(), ['Band C, 9 mm gap, strings']);
  for (const arrow of /** @type {const} */ (['left', 'left', 'left', 'down', 'down', 'down'])) on.sheet().arrows?.(arrow);
  assert.deepEqual(here(), ['Band A, 6 mm gap, no grade yet']);
});

test('the band under way is the one that was begun last', () => {
  const shown = {drawing: drawing(), minutes: 18}, events = [{kind: 'asked', name: 'piece 2', body: {shown}}, {kind: 'begun', name: 'piece 2 foot'}, {kind: 'done', name: 'piece 2 foot'}, {kind: 'begun', name: 'piece 2 band C'}];
  const run = /** @type {any} */ ({id: 'r9', doing: {what: 'streaming', lines: 30, of_lines: 120, left_s: 60}}), p = /** @type {any} */ ({state: {...nothing, events: {r9: events}}});
  const part = partOf(p, run);
  assert.deepEqual([part.piece, part.band, part.part, part.leftS], ['2', 3, 0.25, 18 * 60 / 9 * 5 + 60]);
});

test('a switch past a refusal is offered by the refusal alone', () => {
  const fields = [{name: 'print_mm_per_s', label: 'Speed', kind: 'number', default: 40}, {name: 'damp_anyway', label: 'Go on although the strand popped', kind: 'yes', default: false}];
  const state = /** @type {any} */ ({...nothing, printers: {window: {id: 'window', name: 'Window', owed: [], due: [], line: {state: 'listening', since: at}}}, materials: {plum: {id: 'plum', name: 'Plum'}}, routines: [{name: 'retraction_ladder', title: '', program: '', fields}]});
  const p = /** @type {any} */ ({state, now: 0, route: ['begin', 'window', 'retraction_ladder'], deeds: {write}}), key = 'begin/window/retraction_ladder';
  const words = () => JSON.stringify(beginLadder(p));
  assert.doesNotMatch(words(), /popped/);
  write(key, {open: true});
  assert.doesNotMatch(words(), /popped/, 'nor among the other inputs');
  write(key, {open: false, problem: {type: '', title: '', status: 422, code: 'bad_inputs', detail: '', errors: [{pointer: '/inputs/damp_anyway', detail: 'is not given, and the strand popped at the last feed', accept: 'true'}]}});
  assert.match(words(), /Go on although the strand popped/);
  assert.match(beginLadder(p).reason ?? '', /^The strand popped at the last feed\./);
});

test('a docket is kept by printer and material, and dropped with its store', () => {
  const docket = /** @type {any} */ ({printer: 'window', material: 'plum', setup_version: 2, active: '', retracts: '', rows: [{kind: 'nozzle_c', label: 'Nozzle', unit: '°C', value: 210, fresh: false, stale: [{what: 'fan', text: 'fan since then'}], again: 'nozzle_c', earlier: [], from: {source: 'typed', how: 'typed by a person'}}], due: [{do: 'travel_ladder', text: 'never found'}]});
  let s = reduce(nothing, {type: 'docket', docket}, 1);
  assert.equal(s.dockets['window/plum'], docket);
  s = {...s, store: 'A', printers: /** @type {any} */ ({window: {id: 'window', name: 'Window', line: {state: 'listening'}, setup: {}}}), materials: /** @type {any} */ ({plum: {id: 'plum', name: 'Plum'}})};
  const sheet = dockets(/** @type {any} */ ({state: s, now: 0, route: ['dockets', 'window', 'plum'], deeds: {write}})), said = JSON.stringify(sheet);
  assert.match(said, /Stale.*fan since then/);
  assert.match(said, new RegExp(wayTo('travel_ladder', 'window', 'plum')));
  assert.deepEqual(reduce(s, {type: 'snapshot', store_id: 'B', last_seq: 1, printers: [], runs: []}, 2).dockets, {});
});

test('a setup keeps the lines before and behind a print, and leaves out what was not measured', () => {
  const now = /** @type {any} */ ({version: 3, drive: 'bowden', tube: {bore_mm: 2, length_mm: 600, quarter_turns: 3, coupler_play_mm: 0.5, outer_mm: 4}, before: ['G28'], cold_side_mm: 9});
  assert.deepEqual(setupOf(now, {}).before, ['G28']);
  const next = setupOf(now, {before: 'G28\n\n G29 \n', after: '', cold_side_mm: '', retracts: 'firmware', outer_mm: ''});
  assert.deepEqual([next.before, next.after, next.cold_side_mm, next.retracts, next.tube.outer_mm], [['G28', 'G29'], undefined, undefined, 'firmware', undefined]);
  assert.ok(['before', 'after', 'cold_side_mm', 'retracts', 'outer_mm'].every((name) => stepsOf(now, {}).some((s) => s.name === name)));
});
