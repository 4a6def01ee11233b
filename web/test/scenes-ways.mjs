// Scenes for the ways to measure a feed: what their questions show (routines/feed/testdata/ways.json), and the limits.

import {asking, doing, scene} from './scenes.mjs';

/** @typedef {import('../shapes/figure.mjs').Scene} Scene */
/** @typedef {Array<[string, Scene, string]>} Scenes */

const pass = {commanded_mm: 100, pre_feed_mm: 5, rule_mm: 300, gauge: 'caliper'};
const empty = {text: '', value: null, derived: null, verdict: 'empty'};

/** @param {any} shown @param {any} value @param {string} [verdict] */
const typed = (shown, value, verdict = 'fine') => asking({...pass, ...shown}, {draft: value === null ? empty : {text: String(value), value, derived: null, verdict}});

const foreseen = {passes: 1, target_percent: 0.3, u95_percent: 0.5, passes_to_target: 6, floor_u95_percent: 0.23, changes_of_100: 12};
const read = (/** @type {any} */ at_mm, /** @type {any} */ off_mm, stray = false) => ({at_mm, off_mm, stray});
const reads = [read(20, 0.03), read(40, -0.06), read(60, 0.71, true), read(80, -0.04), read(100, 0.02)];

/** @param {any} [over] @param {any} [more] */
const line = (over = {}, more = []) => scene({shown: {stretches: [{pass: 1, curved: false, u95_mm: 0.21, reads, ...over}, ...more]}});

/** What a person usually sees. @type {Scenes} */
export const USUAL = [
  ['flags', typed({flags_mm: 100, near_mm: 25}, null), 'flags'], ['flags', typed({flags_mm: 100, near_mm: 25}, 101.22), 'flags, typed'],
  ['near_flag', typed({flags_mm: 100, near_mm: 20}, null), 'near flag'], ['near_flag', typed({flags_mm: 100, near_mm: 20}, 19.84), 'near flag, typed'],
  ['far_flag', typed({flags_mm: 100, mark_mm: 120.01}, null), 'far flag'], ['far_flag', typed({flags_mm: 100, mark_mm: 120.01}, 20.2), 'far flag, typed'],
  ['lengths', typed({mark_mm: 120, length: 1, lengths: 5}, null), 'first length'], ['lengths', typed({mark_mm: 120, length: 4, lengths: 5, read_mm: [100.2, 80.1, 60.4]}, 40.1), 'fourth length'],
  ['path', asking({commanded_mm: 100, pre_feed_mm: 5}), 'path'], ['unload', asking({...pass, pull_mm: 80}), 'unload'], ['coupler', asking(pass, {nozzleC: 43}), 'coupler'], ['cut', asking({...pass, cut_mm: 96}), 'cut'],
  ['cut_piece', typed({}, null), 'piece'], ['cut_piece', typed({}, 99.8), 'piece, typed'],
  ['enough', asking(foreseen), 'enough'], ['enough', asking({...foreseen, passes_to_target: undefined, floor_u95_percent: 0.41}), 'out of reach'],
  ['residuals', line(), 'one strays'], ['residuals', line({curved: true, reads: [read(20, -0.4), read(40, 0.2), read(60, 0.5), read(80, 0.2), read(100, -0.4)]}), 'curved'], ['residuals', line({}, [{pass: 2, curved: false, u95_mm: 0.21, reads}]), 'two passes'],
  ['cooling', doing({what: 'cooling', target_c: 50}, {nozzleC: 96}), 'cooling to 50'], ['feeding', scene({run: {inputs: {commanded_mm: 20}, answers: [], doing: {what: 'feeding', fed_mm: 12, of_mm: 20}}}), 'one of several lengths'],
];

/** What is typed is a number or nothing. @param {any} x */
const finite = (x) => Number.isFinite(x) ? x : null;

const NUMBERS = [undefined, null, NaN, Infinity, -3, 0, 0.01, 1, 30, 300, 1999.99, 12345, 1e12];

/** What may come as well. @type {Scenes} */
export const LIMITS = [
  ...NUMBERS.flatMap((x) => /** @type {Scenes} */ ([
    ['flags', typed({flags_mm: x, near_mm: x}, null), `flags ${x}`], ['flags', typed({flags_mm: 100, near_mm: 25}, finite(x), 'impossible'), `flags at ${x}`],
    ['near_flag', typed({near_mm: x}, finite(x), 'impossible'), `near ${x}`], ['far_flag', typed({mark_mm: x}, finite(x), 'unlikely'), `far ${x}`], ['lengths', typed({mark_mm: x, read_mm: [x, 60]}, finite(x), 'unlikely'), `length ${x}`],
    ['path', asking({commanded_mm: x, pre_feed_mm: x}), `path ${x}`], ['unload', asking({pull_mm: x}), `unload ${x}`], ['coupler', asking({}, {nozzleC: x ?? NaN}), `coupler ${x}`], ['cut', asking({cut_mm: x}), `cut ${x}`],
    ['cut_piece', typed({commanded_mm: x}, finite(x), 'unlikely'), `piece ${x}`],
    ['enough', asking({...foreseen, u95_percent: x}), `now ${x}`], ['enough', asking({...foreseen, target_percent: x, passes_to_target: x}), `target ${x}`], ['enough', asking({...foreseen, floor_u95_percent: x}), `floor ${x}`],
    ['residuals', line({u95_mm: x ?? null}), `sleeve ${x}`], ['residuals', line({reads: [read(x, 0.1), read(20, x, true), read(40, 0)]}), `read ${x}`]])),
  ['enough', asking({}), 'nothing foreseen'], ['residuals', scene(), 'no lengths'], ['residuals', line({reads: []}), 'no readings'], ['residuals', line({reads: reads.map((r) => ({...r, stray: true}))}), 'all stray'],
  ['lengths', typed({mark_mm: 120, read_mm: 'none'}, null), 'no list'], ['lengths', typed({mark_mm: 120, read_mm: Array.from({length: 8}, (_, i) => 110 - 12 * i)}, 0), 'eight lengths'],
];
