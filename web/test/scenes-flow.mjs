// Scenes of the flow limit's figures. The usual climb is routines/feed/testdata/flow_limit.json; its data are invented.

import {readFileSync} from 'node:fs';

/** @typedef {import('../shapes/figure.mjs').Scene} Scene */
/** @typedef {(over?: any) => Scene} Make */

export const CLIMB = JSON.parse(readFileSync(new URL('../../routines/feed/testdata/flow_limit.json', import.meta.url), 'utf8'));

const read = CLIMB.entries.at(-1).body.read.map((/** @type {any} */ r) => ({flow: r.flow_mm3_per_s, fed: r.fed_percent, u95: r.u95_percent}));
const value = (/** @type {string} */ name, /** @type {any} */ v, /** @type {any} */ u95) => ({name, unit: 'mm³/s', value: v, u95});

/** @param {Make} scene @param {string} kind @param {any[]} values @param {any} [blocks] @param {any} [over] */
const climbed = (scene, kind, values, blocks = read, over = {}) => scene({shown: {blocks, level: 99.9, tolerance: 2, ...over}, run: {routine: 'flow_limit', inputs: {}, answers: [], finding: {kind, headline: '', reason: '', values}}});

/** @param {string} pick */
const bitten = (pick, choices = ['shallow', 'deep', 'even', 'unseen'].map((v) => ({value: v, label: `Marks, ${v}`}))) => ({question: {fields: [{name: 'bite', label: 'The gear’s marks', kind: 'choice', choices}]}, pick});

const even = (/** @type {number} */ n, /** @type {number} */ step) => Array.from({length: n}, (_, i) => ({flow: step * (i + 1), fed: 100 - 0.1 * i, u95: 1}));

/** @param {Make} scene @returns {Array<[string, Scene, string]>} */
export const flowUsual = (scene) => [
  ['flow_limit', climbed(scene, 'found', CLIMB.finding.values), 'flow limit found'],
  ['flow_limit', climbed(scene, 'found', [value('flow_limit_mm3_per_s', 9.1, 0.48), value('falls_at_mm3_per_s', 11.4, 0.6), value('from_mm3_per_s', 10.8, undefined), value('to_mm3_per_s', 12, undefined)], [2, 4, 6, 8, 10, 12, 14].map((flow, i) => ({flow, fed: [99.9, 99.8, 99.7, 99.5, 98.9, 97.6, 90.2][i], u95: 0.4}))), 'flow limit, sharp'],
  ['flow_limit', climbed(scene, 'at_least', [value('at_least_mm3_per_s', 11.4, undefined)], even(6, 2)), 'flow limit, at least'],
  ['flow_limit', climbed(scene, 'short', [value('short_percent', 4.1, 1.2), value('falls_at_mm3_per_s', 2.6, 0.9)], [2, 4, 6].map((flow, i) => ({flow, fed: [98.1, 91, 82.4][i], u95: 1}))), 'flow limit, short'],
  ['flow_limit', climbed(scene, 'short', [value('short_percent', 4.1, 1.2)], [{flow: 2, fed: 84, u95: 1}]), 'flow limit, short from the start'],
  ['flow_limit', climbed(scene, 'too_fast', [], [4, 8].map((flow, i) => ({flow, fed: [97, 91][i], u95: 1.2}))), 'flow limit, too fast'], ['flow_limit', climbed(scene, 'too_few', [], [{flow: 2, fed: 100, u95: 1}]), 'flow limit, too few'],
  ['bite', scene(bitten('')), 'bite'], ['bite', scene(bitten('deep')), 'bite, deep'],
];

/** @param {Make} scene @returns {Array<[string, Scene, string]>} */
export const flowLimits = (scene) => [
  ...[undefined, null, NaN, -1, 0, 0.001, 1, 99.9, 100, 250, 99999, 1e12].flatMap((x) => /** @type {Array<[string, Scene, string]>} */ ([
    ['flow_limit', climbed(scene, 'found', ['flow_limit_mm3_per_s', 'falls_at_mm3_per_s', 'from_mm3_per_s', 'to_mm3_per_s'].map((n) => value(n, x, x))), `flow limit ${x}`],
    ['flow_limit', climbed(scene, 'at_least', [value('at_least_mm3_per_s', x, undefined)]), `at least ${x}`], ['flow_limit', climbed(scene, 'short', [value('falls_at_mm3_per_s', x, x)]), `short at ${x}`],
    ['flow_limit', climbed(scene, 'found', CLIMB.finding.values, [{flow: x, fed: 98, u95: x}, {flow: 4, fed: x, u95: 1}, {flow: 6, fed: 90, u95: x}]), `read ${x}`],
    ['flow_limit', climbed(scene, 'found', CLIMB.finding.values, read, {level: x, tolerance: x}), `level ${x}`], ['flow_limit', climbed(scene, 'found', CLIMB.finding.values, [{flow: x, fed: x}]), `one block ${x}`]])),
  ...[[], undefined, 'none', [null], even(60, 0.5), even(8, 0.05), Array.from({length: 12}, () => ({flow: 6, fed: 98, u95: 1}))].map((blocks, i) => /** @type {[string, Scene, string]} */ (['flow_limit', climbed(scene, 'found', CLIMB.finding.values, blocks), `blocks ${i}`])),
  ['flow_limit', climbed(scene, 'no such', []), 'an unknown finding'], ['flow_limit', scene(), 'no run'], ['bite', scene(), 'no choices'], ['bite', scene(bitten('x', [{value: 'deep', label: 'behind the curtain on the shelf at the far end of the workshop'}, {value: 'new', label: 'new'}])), 'bite, others'],
];
