// Every figure at its limits: nothing that is no number, nothing outside its frame, the strand where the page's own ends.

import assert from 'node:assert/strict';
import {readFileSync} from 'node:fs';
import {test} from 'node:test';
import {pointOf} from '../figures/caution.mjs';
import {figureOf, figures} from '../figures/index.mjs';
import {told} from '../figures/measured.mjs';
import {partsOf} from '../figures/budget.mjs';
import {slackMM} from '../fitting.mjs';
import {stair} from '../figures/stair.mjs';
import {passing} from '../figures/scale.mjs';
import {PLACES} from '../figures/plan.mjs';
import {pointsOf, path} from './extent.mjs';
import {markup} from './markup.mjs';
import {LIMITS, ROWS, USUAL, asking, ended, scene} from './scenes.mjs';
import * as ways from './scenes-ways.mjs';

const TOLERANCE = 2; // px: half of the widest stroke that runs along an edge

/** @param {number} width @param {number} height @param {boolean} [still] */
const frame = (width, height, still = false) => width < 360 ? {width, height, sx: 26, col: 56, right: width - 14, narrow: true, still}
  : {width, height, sx: 34, col: 72, right: width - 20, narrow: false, still};

/** All frames a figure must hold out in. @param {import('../shapes/figure.mjs').Figure} f */
const frames = (f) => [320, 359, 390, 480].flatMap((w) => [f.least, Math.round((f.least + f.most) / 2), f.most].map((h) => frame(w, h)));

const ALL = [...ways.USUAL, ...ways.LIMITS, ...USUAL, ...LIMITS];

test('every figure has a scene, usual and at a limit or two', () => {
  const drawn = new Set(ALL.map(([name]) => name));
  for (const name of Object.keys(figures)) assert.ok(drawn.has(name), name);
});

test('no attribute and no word is other than a number or a text', () => {
  for (const [name, s, words] of ALL) {
    const figure = figureOf(name);
    assert.ok(figure, name);
    for (const f of [frame(320, figure.least), frame(480, figure.most, true)]) {
      for (const n of figure.draw(f, s)) assert.doesNotMatch(markup(n), /NaN|Infinity|undefined|null|\[object/, `${name}, ${words}`);
    }
  }
});

test('every figure has a title and says its numbers', () => {
  for (const [name, s, words] of ALL) {
    const figure = figures[name];
    for (const said of [figure.title(s), figure.desc(s)]) {
      assert.ok(said.trim().length > 3, `${name}, ${words}: "${said}"`);
      assert.doesNotMatch(said, /NaN|Infinity|undefined|\{\w+\}/, `${name}, ${words}`);
    }
  }
});

test('nothing is drawn outside the frame', () => {
  for (const [name, s, words] of ALL) {
    for (const f of frames(figures[name])) for (const p of pointsOf(figures[name].draw(f, s))) {
      const inside = p.x >= -TOLERANCE && p.x <= f.width + TOLERANCE && p.y >= -TOLERANCE && p.y <= f.height + TOLERANCE;
      assert.ok(inside, `${name}, ${words}, ${f.width} x ${f.height}: ${p.what} at ${p.x.toFixed(1)} ${p.y.toFixed(1)}`);
    }
  }
});

test('the strand enters on the page’s strand, to the pixel', () => {
  for (const [name, s, words] of ALL) for (const f of frames(figures[name])) {
    if (figures[name].strand === 'ends') continue;
    const edge = figures[name].draw(f, s).find((n) => n.props.class === 'm-edge');
    assert.ok(edge, `${name}, ${words}: no strand`);
    const top = path(edge.props.d ?? '').filter(([, y]) => y === 0).map(([x]) => x);
    assert.deepEqual([Math.min(...top), Math.max(...top)], [f.sx - 7, f.sx + 7], `${name}, ${words}`);
  }
});

test('a mark of 0 mm and of 1999.99 mm', () => {
  for (const value of [0, 1999.99]) {
    const drawn = figures.mark.draw(frame(320, figures.mark.least), asking({mark_mm: 120}, {draft: {text: '', value, derived: null, verdict: 'fine'}}));
    for (const n of drawn) assert.doesNotMatch(markup(n), /NaN|Infinity/);
    assert.ok(pointsOf(drawn).every((p) => p.x <= 320 + TOLERANCE));
  }
});

test('no figure has an attribute that the page’s policy forbids', () => {
  for (const [name, s] of USUAL) for (const n of figures[name].draw(frame(390, figures[name].least), s)) assert.doesNotMatch(markup(n), / style=| on\w+=/, name);
});

test('each warning that the agent gives has its own drawing', () => {
  const source = readFileSync(new URL('../../routines/runner/caution.go', import.meta.url), 'utf8');
  const warnings = [...source.matchAll(/"((?:Warning|Caution|Notice)\. [^"]*)"/g)].map((m) => m[1] ?? '');
  const points = warnings.map(pointOf);
  assert.ok(warnings.length >= 8);
  assert.equal(new Set(points).size, points.length, points.join(' '));
  assert.ok(!points.includes('words'), points.join(' '));
  assert.equal(pointOf('Warning. Something quite new.'), 'words');
});

test('a place that is touched is chosen, and fingers have 48 px for each', () => {
  for (const f of frames(figures.switch)) {
    /** @type {string[]} */
    const chosen = [];
    const drawn = figures.switch.draw(f, scene({shown: {switch: ''}, choose: (/** @type {string} */ v) => chosen.push(v)}));
    const picks = drawn.filter((n) => n.props.class === 'pick');
    let blurred = 0;
    const finger = {detail: 1, currentTarget: {blur: () => { blurred++; }}}, byKey = {detail: 0};
    picks.forEach((n, i) => n.props.on.click(i > 0 ? finger : byKey));
    assert.equal(blurred, picks.length - 1, 'a finger leaves no focus behind, a key keeps it');
    assert.deepEqual(chosen, PLACES.map((p) => p.name));
    const areas = picks.map((n) => /** @type {any} */ (n.kids[0]).props);
    for (const a of areas) for (const b of areas) if (a !== b) assert.ok(Math.abs(a.x - b.x) >= 48 || Math.abs(a.y - b.y) >= 48, `${f.width} x ${f.height}`);
  }
});

test('a switch that is known is shown and cannot be chosen', () => {
  const drawn = figures.switch.draw(frame(390, 220), scene({printer: {setup: {switch: 'front, right'}}}));
  assert.equal(drawn.filter((n) => n.props.class === 'pick').length, 0);
  assert.equal(drawn.filter((n) => n.props.class === 'ink').length, 1);
});

/** What can be pressed, of at least 48 px each way. @param {string} name @param {import('../shapes/figure.mjs').Frame} f @param {import('../shapes/figure.mjs').Scene} s */
function buttons(name, f, s) {
  const found = figures[name].draw(f, s).filter((n) => n.props.role === 'button');
  for (const n of found) {
    const area = /** @type {any} */ (n.kids[0]).props;
    assert.ok(area.width >= 48 && area.height >= 48, `${name}, ${f.width} x ${f.height}: ${area.width} x ${area.height}`);
  }
  return found;
}

test('a drive that is touched is chosen', () => {
  for (const f of frames(figures.drive)) {
    /** @type {string[]} */
    const chosen = [];
    buttons('drive', f, scene({choose: (/** @type {string} */ v) => chosen.push(v)})).forEach((n) => n.props.on.click({detail: 0}));
    assert.deepEqual(chosen, ['direct', 'bowden']);
  }
});

test('minus and plus step by one turn and stay within 0 and 40', () => {
  for (const [value, less, more] of [[3, '2', '4'], [0, '0', '1'], [40, '39', '40']]) for (const f of frames(figures.tube)) {
    /** @type {string[]} */
    const typed = [];
    const s = scene({shown: {}, draft: {text: '', value, derived: null, verdict: 'fine'}, type: (/** @type {string} */ v) => typed.push(v)});
    buttons('tube', f, s).forEach((n) => n.props.on.click({detail: 0}));
    assert.deepEqual(typed, [less, more]);
  }
});

test('each quarter turn is a step, and gives 0.39 mm of slack at 1.75 mm in 2.0 mm', () => {
  // Two arcs of one angle differ in length by the angle times the difference of their radii: here pi/2 x 0.25 mm.
  assert.equal(slackMM(1, 2, 1.75).toFixed(3), '0.393');
  assert.equal(slackMM(3, 2, 1.75).toFixed(1), '1.2');
  assert.equal(slackMM(4, 1.5, 1.75), 0);
  for (let n = 0; n <= 40; n++) {
    const way = stair(n, {x: 34, y: 40, top: 140, low: 260, right: 370});
    assert.equal(way.corners.length, n);
    assert.equal((way.d.match(/A/g) ?? []).length, n);
    assert.equal(way.end.down, n % 2 === 0);
  }
});

test('the number at the pointer is the one the scale has there', () => {
  const on = passing(frame(390, 300), {now: 168, y: 200, perUnit: 2.5, foot: 290, tick: 2, long: 10, label: 10});
  assert.equal(on.at(168), 200);
  assert.equal(on.at(210), 200 - 42 * 2.5);
  assert.equal(on.of(on.at(57)), 57);
});

test('an ended check is drawn from the same numbers as its question', () => {
  const value = (/** @type {string} */ name, /** @type {number} */ v, /** @type {number} [u95] */ u95) => ({name, unit: '', value: v, u95});
  const question = told(asking({old_steps_per_mm: 93, new_steps_per_mm: 95.92, new_u95_steps_per_mm: 0.45}), 'change');
  const end = told(ended('change', [value('measured_with_steps_per_mm', 93), value('steps_per_mm', 95.92, 0.45)]), 'change');
  assert.deepEqual(end, question);
  const leave = told(ended('leave', [value('fed_mm', 99.8, 0.4), value('error_percent', -0.2), value('measured_with_steps_per_mm', 93)]), 'leave');
  assert.equal(leave.number, '93.00');
  assert.equal(leave.rings[0]?.value.toFixed(3), (93 / 0.998).toFixed(3)); // steps/mm times asked over fed
});

test('the parts of the ± are shares of its square', () => {
  const {parts} = partsOf(ended('change', [{name: 'fed_mm', unit: 'mm', value: 97, u95: 0.45}], ROWS));
  assert.ok(Math.abs(Math.hypot(...parts.map((p) => p.part)) - 0.45) < 1e-9);
  assert.ok(Math.abs(parts.reduce((sum, p) => sum + p.share, 0) - 1) < 1e-9);
  assert.deepEqual(parts.map((p) => p.share), parts.map((p) => p.share).sort((a, b) => b - a));
  assert.equal(parts[0]?.name, 'pen line');
});
