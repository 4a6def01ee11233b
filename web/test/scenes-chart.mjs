// Scenes for diameter and drift: what a run and a logbook usually show, and the limits of what may come. All is invented.

import {asking, ended, scene} from './scene.mjs';

/** @typedef {[string, import('../shapes/figure.mjs').Scene, string]} Named */

/** Ten readings of a spool, each place one way and then a quarter turn on. */
export const READ = [1.74, 1.75, 1.73, 1.75, 1.74, 1.74, 1.76, 1.74, 1.75, 1.74];

/** The question for reading n. @param {any} n @param {any} [value] @param {any} [verdict] @param {any} [over] */
const reading = (n, value = null, verdict = value === null ? 'empty' : 'fine', over = {}) => asking({reading: n, readings: 10, place: Math.ceil(n / 2), places: 5, square: n % 2 === 0, along_mm: 500 * (Math.ceil(n / 2) - 1), read_mm: READ.slice(0, n - 1), nominal_mm: 1.75, gauge: 'digital_caliper', ...over},
  {draft: {text: String(value ?? ''), value, derived: value, verdict}});

/** @param {string} kind @param {any} mean @param {any} u95 @param {any} [read] */
function found(kind, mean, u95, read = READ) {
  const s = ended(kind, [{name: 'filament_diameter_mm', unit: 'mm', value: mean, u95}, {name: 'spread_mm', unit: 'mm', value: 0.02}, {name: 'oval_mm', unit: 'mm', value: 0.01}, {name: 'section_mm2', unit: 'mm²', value: mean ? Math.PI / 4 * mean * mean : mean, u95}]);
  return scene({...s, run: {...s.run, answers: read.map((/** @type {any} */ v, /** @type {number} */ i) => ({name: `reading ${i + 1}`, answer: {across_mm: v}}))}});
}

/** Checks a week apart about 433. @param {any} n @param {(i: number) => any} off @param {any} [over] */
export function drifting(n, off, over = {}) {
  const checks = Array.from({length: n}, (_, i) => ({entry: 40 + i, at: new Date(Date.UTC(2026, 6, 3) + i * 7 * 86400_000).toISOString(), value: 433 + off(i), u95: 1.9, material: 'plum-pla', method: 'inlet', gauge: 'digital_caliper', low: 430.6, high: 435.4, ewma: 433 + off(i) / 2, ewma_low: 431.5, ewma_high: 434.5, stretch: 0}));
  return {printer: 'window', setup_version: 3, setups: [{version: 3, checks: n}], unit: 'steps/mm', tolerance_percent: 1, tolerance: 4.33, checks, splices: [], centre: 433, signals: [], why: 'too few checks', notes: [], ...over};
}

/** @param {any} d @param {any} [over] */
const charted = (d, over = {}) => scene({shown: {drift: d, number: {above: 'Check again by', value: '20 December', unit: '', below: '+0.012 ± 0.030 steps/mm a day'}, dates: d?.checks?.map((/** @type {any} */ k) => k?.at ? '24 Nov' : 'no date') ?? [], before: '', after: '', ...over}});

const wave = (/** @type {number} */ i) => 1.4 * Math.sin(i * 2.3);
const outside = drifting(7, (i) => i === 6 ? 6 : wave(i), {signals: [{rule: 'one beyond the limit with its whole ±', chart: 'individuals', from: 6, to: 6, side: 'high'}]});
const spliced = drifting(8, (i) => i < 4 ? wave(i) - 3 : wave(i), {splices: [{before: 4, entry: 70, what: 'idler_tension', text: 'idler tension'}]});
spliced.checks.forEach((k, i) => { k.stretch = i < 4 ? 0 : 1; if (i < 4) { k.low -= 3; k.high -= 3; } });

/** What a person usually sees. @returns {Named[]} */
export const usualCharts = () => [
  ['across', reading(1), 'across, the first'], ['across', reading(2, 1.75), 'across, a quarter turn on'], ['across', reading(7, 1.52, 'unlikely'), 'across, unlikely'], ['across', reading(10, 2.85, 'impossible'), 'across, far off'],
  ['across', reading(3, null, 'empty', {again: true, first_mm: 1.52, read_mm: READ}), 'across, again'], ['across', reading(13, 1.74, 'fine', {readings: 20, places: 10, read_mm: READ}), 'across, ten places'],
  ['diameter', found('diameter', 1.744, 0.013), 'diameter'], ['uneven', found('uneven', 1.748, 0.061, [1.66, 1.82, 1.7, 1.8, 1.74, 1.79, 1.68, 1.81, 1.71, 1.77]), 'uneven'], ['wrong_size', found('wrong_size', 2.86, 0.02, READ.map((v) => v + 1.11)), 'wrong size'],
  ['drift', charted(drifting(6, wave)), 'drift, steady'], ['drift', charted(drifting(24, (i) => i * 0.1 - 1)), 'drift, 24 checks'], ['drift', charted(outside), 'drift, outside'], ['drift', charted(spliced, {before: 'setup 3'}), 'drift, spliced'],
  ['drift', charted(drifting(1, () => 0, {checks: [{entry: 1, value: 433, u95: 1.9, ewma: 433, stretch: 0}]}), {number: {value: '1', unit: 'check', hollow: true}}), 'drift, one check'],
];

/** What may come as well. @returns {Named[]} */
export const limitCharts = () => [
  ...[undefined, NaN, -1, 0, 0.001, 1.75, 3.15, 500, 99999, 1e12].flatMap((x) => /** @type {Named[]} */ ([
    ['across', reading(3, x ?? NaN, 'fine'), `across ${x}`], ['across', reading(4, 1.74, 'fine', {nominal_mm: x}), `nominal ${x}`], ['across', reading(1, null, 'empty', {places: x, place: x, read_mm: [x, x, x]}), `places ${x}`],
    ['diameter', found('diameter', x, x), `mean ${x}`], ['uneven', found('uneven', 1.74, x, [x, 1.74, x]), `read ${x}`], ['wrong_size', found('wrong_size', x, 0.01, []), `wrong size ${x}`],
    ['drift', charted(drifting(4, () => x)), `off by ${x}`], ['drift', charted(drifting(3, wave, {centre: x, tolerance: x, tolerance_percent: x})), `centre ${x}`]])),
  ['across', scene(), 'nothing asked'], ['across', reading(40, 1.74, 'fine', {places: 20, place: 20, read_mm: Array.from({length: 40}, () => 1.74)}), 'twenty places'], ['across', reading(2, 1.74, 'fine', {read_mm: 'no list'}), 'no list'],
  ['diameter', scene(), 'no run'], ['diameter', found('diameter', 1.744, 0.013, []), 'no readings'], ['diameter', found('diameter', 1.744, 0, Array.from({length: 20}, () => 1.74)), 'all alike'], ['diameter', found('diameter', 1.744, 0.01, Array.from({length: 40}, (_, i) => 1.7 + i / 400)), 'forty'],
  ['drift', scene(), 'nothing told'], ['drift', charted(drifting(0, wave)), 'no checks'], ['drift', charted(drifting(120, wave)), '120 checks'], ['drift', charted({...outside, signals: undefined, splices: undefined}), 'no lists'],
  ['drift', charted(drifting(5, wave, {splices: [0, 2, 5].map((before) => ({before, entry: 1, what: 'x', text: 'a part with a name that is far too long for one line of the chart'}))}), {before: 'setup 2', after: 'setup 4', number: undefined, dates: undefined}), 'splices at both ends'],
];
