// Scenes for the figures: what a demo run's questions show (its data are invented), and the limits of what may come.

import {asking, doing, ended, scene} from './scene.mjs';
import {limitCharts, usualCharts} from './scenes-chart.mjs';

import {flowLimits, flowUsual} from './scenes-flow.mjs';

/** @typedef {import('../shapes/figure.mjs').Scene} Scene */

export {asking, doing, ended, scene};

export const WARNINGS = [
  'Warning. Stay in the room while the machine heats. If you leave, press Stop.',
  'Warning. The nozzle burns skin at once. Wait until it reads below 50 °C, or treat it as hot.',
  'Warning. Stop here is a request sent by cable. If anything looks wrong, use the machine\'s own switch (back, left).',
  'Warning. Smoke, a burnt smell or a glow: switch off at the plug, then call for help. Do not open, do not restart.',
  'Warning. Keep hands, hair and sleeves out of the machine. It can start to move without a sound.',
  'Caution. Hot plastic gives off fine dust and vapour. Open a window. Read the maker\'s data sheet of the material.',
  'Caution. The bed is hot as well. Let it cool before you take anything off.',
  'Notice. This program helps you adjust the machine. It is not a safety device, and the maker\'s manual comes first.',
  'Warning. A liner of fluoropolymer that reaches the heated part gives off toxic fumes when overheated. The limit stays at 240 °C.',
];

/** @param {number} step @param {string} where @param {any} [over] */
const caution = (step, where, over) => scene({question: {warning: WARNINGS, fields: []}, shown: {nozzle_c: 210, switch: where}, step, ...over});

/** @param {number|null} value @param {any} verdict */
const typed = (value, verdict) => asking({commanded_mm: 100, mark_mm: 120, rule_mm: 300, gauge: 'caliper'}, {draft: {text: String(value ?? ''), value, derived: null, verdict}});

const finding = {commanded_mm: 100, fed_mm: 96.96, fed_u95_mm: 0.45, old_steps_per_mm: 93, new_steps_per_mm: 95.92, new_u95_steps_per_mm: 0.45, tolerance_percent: 1, passes: 1};
const near = {...finding, fed_mm: 99.2, fed_u95_mm: 0.9, new_steps_per_mm: 93.75, new_u95_steps_per_mm: 0.85};
const value = (/** @type {string} */ name, /** @type {number} */ v, /** @type {string} */ unit, /** @type {number} */ u95) => ({name, unit, value: v, u95});

const row = (/** @type {string} */ name, /** @type {number} */ u) => ({name, type: 'B', distribution: 'rectangular', limit: u * 1.73, u, unit: 'mm', common: false});
export const ROWS = [row('mark, reading', 0.005774), row('leftover, reading', 0.005774), row('pen line', 0.173205), row('limit of the instrument', 0.017321), row('curl of the filament', 0.11547), row('seat at the inlet', 0.086603)];

const choice = [{name: 'strand', label: 'The strand', kind: 'choice', choices: [{value: 'smooth', label: 'Smooth and silent'}, {value: 'popping', label: 'Popping, bubbles or matt'}]}];

/** @param {string} pick */
const strand = (pick) => scene({question: {fields: choice}, shown: {commanded_mm: 100}, pick});

const nozzle = (/** @type {number} */ c, outdated = false) => ({nozzle: {c, target_c: 210, age_s: 40, outdated}, setup: {switch: 'back, left'}});
const differences = [
  {word: 'M92', letter: 'E', tool: -1, in_use: 93, stored: 95.92}, {word: 'M203', letter: 'E', tool: 0, in_use: 120, stored: 25},
  {word: 'M204', letter: 'R', tool: 1, in_use: 3000, stored: null}];
const heat = (/** @type {number} */ c, target = 210, outdated = false) => doing({what: 'heating', target_c: target}, {nozzleC: c, printer: nozzle(c, outdated)});
const feed = (/** @type {any} */ fed, of = 100) => doing({what: 'feeding', fed_mm: fed, of_mm: of}, {nozzleC: 210});

/** A setup's question. @param {string} pick @param {number|undefined} [maxC] by the manual */
const fitted = (pick, maxC) => scene({pick, printer: {setup: {nozzle_max_c: maxC}}});

/** @param {any} n quarter turns @param {any} [shown] */
const turns = (n, shown = {bore_mm: '2', filament_diameter_mm: '1.75'}) => scene({shown, draft: {text: String(n), value: n, derived: null, verdict: 'fine'}});

/** A program under way. @param {any} lines @param {any} of @param {any} [left_s] */
const sending = (lines, of, left_s = 480) => doing({what: 'streaming', lines, of_lines: of, left_s});

/** A program that stands still. @param {any} lines @param {any} of @param {any} [unsure] */
const soFar = (lines, of, unsure) => asking({lines, of_lines: of, unsure});

/** @param {string} kind @param {any} lines @param {any} again @param {any} [rate] @param {any} [slowest] */
const checked = (kind, lines, again, rate = 312, slowest = 41) => ended(kind, [value('lines', lines, '', NaN), value('sent_again', again, '', NaN), value('lines_per_s', rate, 'lines/s', NaN), value('slowest_ms', slowest, 'ms', NaN)]);

/** A piece as the agent draws it: posts of 6 mm, gaps of 6, 9, 14 and 22, eight bands of 3 mm. @param {number} [post] mm wide @param {number} [bands] */
export function drawing(post = 6, bands = 8) {
  const gaps = [6, 9, 14, 22], posts = [{at_mm: 17, wide_mm: post}], open = [];
  for (const wide of gaps) { const at = posts[posts.length - 1].at_mm + post; open.push({at_mm: at, wide_mm: wide}); posts.push({at_mm: at + wide, wide_mm: post}); }
  const end = posts[4].at_mm + post;
  return {long_mm: end + 17, high_mm: 0.3 + 3 * bands, foot_mm: 0.3, posts, gaps: open, blocks: [{at_mm: 3, wide_mm: 11}, {at_mm: end + 3, wide_mm: 11}], arrow_at_mm: 1.5,
    bands: Array.from({length: bands}, (_, i) => ({letter: 'ABCDEFGHIJKLMNOPQRSTUVWX'[i], from_mm: 0.3 + 3 * i, to_mm: 3.3 + 3 * i, judge_mm: 1.05 + 3 * i, dots: i + 1}))};
}

const names = ['web', 'strings', 'threads', 'threads', 'hairs', 'hairs', 'clean', undefined];
const said = names.map((grade, i) => ({grade, gaps: i === 3 ? ['hairs', undefined, undefined, 'strings'] : [], voids: i === 6}));

/** @param {any} shown @param {string} [pick] */
const judging = (shown, pick = '3') => asking({drawing: drawing(), said, ...shown}, {pick});
const held = [{label: 'Travel', value: 150, unit: 'mm/s'}];
/** @param {any} [over] */
const believed = (over = {}) => asking({ladder: 'length', piece: 1, drawing: drawing(), low: 0.5, high: 1.95, unit: 'mm', prints_left: 2.3, minutes: 18.6, filament_m: 2.2, held, ...over});
/** @param {any} band @param {any} [part] @param {any} [leftS] */
const built = (band, part = 0.6, leftS = 480) => scene({shown: {drawing: drawing(), band, part, leftS}});
const rung8 = [4, 3, 2, 1, 1, 1, 1, 1].map((grade, i) => ({value: 0.25 * (i + 1), grade}));
/** @param {string} kind @param {Array<[string, any]>} values @param {any} rungs @param {string} [routine] */
const laddered = (kind, values, rungs, routine = 'retraction_ladder') => scene({shown: {rungs}, run: {routine, inputs: {}, answers: [], finding: {kind, headline: '', reason: '', values: values.map(([name, v]) => ({name, unit: '', value: v}))}}});
/** @type {Array<[string, any]>} */
const took = [['retraction_length_mm', 1], ['from_mm', 0.8], ['to_mm', 1.1], ['pieces', 2]];

/** What a person usually sees: [figure, scene, words for the sheet]. @type {Array<[string, Scene, string]>} */
export const USUAL = [
  ...flowUsual(scene),
  ...usualCharts(),
  ['grades', judging({}), 'grades'], ['grades', judging({}, '3/0'), 'grades, a gap'], ['grades', judging({said: []}, ''), 'grades, none yet'], ['judged', judging({said: said.map((b, i) => ({...b, word: String(0.25 * (i + 1))}))}), 'judged'],
  ['piece', believed(), 'next piece'], ['piece', believed({low: 1, high: 1, confirming: true}), 'confirming piece'], ['piece', believed({ladder: 'travel', low: 75, high: 250, unit: 'mm/s', drawing: drawing(10)}), 'travel piece'],
  ['printing', built(0), 'printing the foot'], ['printing', built(3), 'printing band C'], ['printing', built(8, 0.9), 'printing band H'], ['printing', built(9, 1, 20), 'printing the end'],
  ['rungs', laddered('found', took, rung8), 'ladder found'], ['rungs', laddered('none', [['pieces', 2]], rung8), 'ladder: none'], ['rungs', laddered('not_reached', [['pieces', 1]], rung8), 'ladder: not reached'], ['rungs', laddered('found', [['travel_speed_mm_per_s', 200], ['pieces', 1]], [75, 100, 125, 150, 175, 200, 225, 250].map((v) => ({value: v, grade: 1})), 'travel_ladder'), 'travel found'],
  ['both', scene({shown: {docket: 95.88, printer: 93}}), 'both'], ['heating_bed', doing({what: 'heating the bed', target_c: 60}, {nozzleC: 41}), 'heating the bed'],
  ...WARNINGS.map((_, i) => /** @type {[string, Scene, string]} */ (['caution', caution(i, 'back, left'), `caution ${i}`])),
  ['caution', caution(2, '', {pick: ''}), 'caution switch, not said'], ['air', asking({commanded_mm: 100, air_mm: 50, volume_mm3: 241}), 'air'],
  ['hands_away', scene({nozzleC: 210, printer: nozzle(210)}), 'hands away'], ['hands_away', scene(), 'hands away, unread'],
  ['heating', heat(168), 'heating'], ['heating', heat(31), 'heating from cold'], ['heating', heat(209, 210, true), 'heating, outdated'], ['cooling', heat(174, 0), 'cooling'],
  ['pre_feed', feed(2.1, 5), 'pre-feed'], ['mark', typed(120, 'fine'), 'mark'], ['feeding', feed(62.6), 'feeding'],
  ['strand', strand(''), 'strand'], ['strand', strand('popping'), 'strand, popping'], ['leftover', typed(23.04, 'fine'), 'leftover'], ['leftover', typed(60, 'unlikely'), 'leftover, unlikely'],
  ['finding', asking(finding), 'finding: change'], ['cannot_tell', asking(near), 'cannot tell'], ['cannot_tell', asking({...finding, fed_mm: 120, fed_u95_mm: 0, new_steps_per_mm: undefined}), 'the mark went in'],
  ['leave', ended('leave', [value('fed_mm', 99.8, 'mm', 0.45), value('error_percent', -0.2, '%', 0.45), value('measured_with_steps_per_mm', 93, 'steps/mm', NaN)]), 'leave'],
  ['ratio', ended('ratio', [value('fed_mm', 96.96, 'mm', 0.45), value('error_percent', -3.04, '%', 0.45)]), 'ratio'], ['failed', ended('failed', []), 'failed'],
  ['differs', asking({differences}), 'differs'], ['differs', asking({differences: differences.slice(0, 1)}), 'one differs'], ['verify', asking({commanded_mm: 100, mark_mm: 120, gauge: 'caliper'}), 'verify'],
  ['budget', ended('change', [value('fed_mm', 96.96, 'mm', 0.452548)], ROWS), 'budget'], ['port', scene({shown: {serial: '0417'}}), 'port'],
  ['interrupted', scene({nozzleC: 209, printer: nozzle(209, true)}), 'interrupted'], ['switch', scene({printer: nozzle(20)}), 'switch'], ['switch', scene({shown: {switch: ''}, pick: ''}), 'switch, asked'],
  ['drive', fitted(''), 'drive'], ['drive', fitted('bowden'), 'drive, behind a tube'], ['liner', fitted('unknown'), 'liner, not known'], ['liner', fitted('all_metal', 280), 'liner, ends above'], ['liner', fitted('all_metal'), 'liner, no manual yet'], ['liner', fitted('fluoropolymer'), 'liner, reaches'],
  ['streaming', sending(0, 5000, undefined), 'streaming, begun'], ['streaming', sending(2310, 5000), 'streaming'], ['streaming', sending(5000, 5000, 0), 'streaming, all sent'], ['streaming', sending(148201, 200000, 7900), 'streaming, long'],
  ['go_on', soFar(2310, 5000), 'go on'], ['so_far', soFar(2310, 5000, 12), 'so far, 12 not certain'], ['so_far', soFar(148201, 200000, 512), 'so far, long'],
  ['fit', checked('fit', 5000, 0), 'cable: fit'], ['noisy', checked('noisy', 5000, 23, 190, 840), 'cable: noisy'], ['slow', checked('slow', 5000, 1, 38.2, 210), 'cable: slow'],
  ...[0, 1, 2, 3, 4, 8, 40].map((n) => /** @type {[string, Scene, string]} */ (['tube', turns(n), `tube, ${n} turns`])),
];

const long = 'behind the curtain on the shelf at the far end of the workshop';

/** What may come as well, and is drawn without harm. @type {Array<[string, Scene, string]>} */
export const LIMITS = [
  ...flowLimits(scene),
  ...limitCharts(),
  ...['0', '7', '7/3', '99', '-3', 'x/y', '2/9'].map((pick) => /** @type {[string, Scene, string]} */ (['grades', judging({}, pick), `grades ${pick}`])),
  ...[undefined, null, {}, {...drawing(), long_mm: 0}, {...drawing(), bands: []}, {...drawing(), gaps: undefined}, drawing(10), drawing(2, 1), drawing(6, 24), {...drawing(), arrow_at_mm: undefined}, {...drawing(), posts: [{at_mm: -5, wide_mm: 6}]}, drawing(6, 30)].flatMap((d, i) => /** @type {Array<[string, Scene, string]>} */ ([
    ['grades', judging({drawing: d}), `drawing ${i}`], ['judged', judging({drawing: d}), `judged drawing ${i}`], ['piece', believed({drawing: d}), `next drawing ${i}`], ['printing', scene({shown: {drawing: d, band: 2, part: 0.5}}), `printing drawing ${i}`]])),
  ...[undefined, NaN, -1, 0, 0.05, 9, 99999, 1e12].flatMap((x) => /** @type {Array<[string, Scene, string]>} */ ([['piece', believed({low: x, high: 2}), `low ${x}`], ['piece', believed({low: 0, high: x, unit: undefined}), `high ${x}`], ['printing', built(x), `band ${x}`], ['printing', built(2, x, x), `part ${x}`],
    ['rungs', laddered('found', [['retraction_length_mm', x], ['from_mm', x], ['to_mm', x], ['pieces', x]], [{value: x, grade: x}]), `rung ${x}`], ['rungs', laddered('none', [['pieces', x]], rung8), `pieces ${x}`], ['both', scene({shown: {docket: x, printer: 93}}), `both ${x}`], ['heating_bed', doing({what: 'heating the bed', target_c: x}, {nozzleC: x}), `bed ${x}`]])),
  ['grades', judging({said: [{gaps: []}, {grade: 'no such', gaps: ['no such']}]}), 'unknown grades'], ['judged', judging({said: said.map(() => ({grade: 'web', gaps: [], word: '1234.56'}))}), 'long values'], ['rungs', laddered('damp', [], undefined), 'no rungs'], ['rungs', scene(), 'no run'], ['both', scene(), 'neither'], ['printing', scene(), 'nothing'],
  ['caution', scene(), 'nothing'], ['caution', caution(99, ''), 'no such point'], ['caution', caution(2, long), 'own words'], ['caution', scene({shown: {point: 'Warning. The nozzle burns skin at once.'}}), 'no degrees'],
  ...[NaN, 0, -50, 24, 49.6, 210, 350, 99999, 1e9].flatMap((c) => /** @type {Array<[string, Scene, string]>} */ ([['heating', heat(c), `heating ${c}`], ['heating', heat(c, 0), `heating ${c}, no target`], ['heating', heat(c, 99999), `heating ${c}, far`], ['cooling', heat(c), `cooling ${c}`],
    ['hands_away', scene({nozzleC: c}), `hands ${c}`], ['interrupted', scene({nozzleC: c, printer: {nozzle: {age_s: 1e7}}}), `interrupted ${c}`]])),
  ...[undefined, NaN, 0, -3, 5, 100, 12345.67, 1e7].flatMap((x) => /** @type {Array<[string, Scene, string]>} */ ([['feeding', feed(x), `feeding ${x}`], ['pre_feed', feed(x, 5), `pre-feed ${x}`], ['air', asking({air_mm: x, commanded_mm: x}), `air ${x}`], ['verify', asking({mark_mm: x, commanded_mm: x, gauge: x}), `verify ${x}`],
    ['finding', asking({...finding, old_steps_per_mm: x}), `old ${x}`], ['finding', asking({...finding, new_steps_per_mm: x, new_u95_steps_per_mm: x}), `new ${x}`], ['cannot_tell', asking({...near, fed_mm: x, new_steps_per_mm: undefined}), `at least ${x}`],
    ['leave', ended('leave', [value('fed_mm', x ?? 0, 'mm', 0.4), value('error_percent', x ?? 0, '%', 0.4), value('measured_with_steps_per_mm', x ?? 0, 'steps/mm', NaN)]), `leave ${x}`],
    ['ratio', ended('ratio', [value('error_percent', x ?? 0, '%', NaN)]), `ratio ${x}`], ['differs', asking({differences: [{word: 'M92', letter: 'E', tool: 0, in_use: x, stored: 93}]}), `differs ${x}`],
    ['budget', ended('change', [value('fed_mm', 96, 'mm', x ?? 0)], [{...ROWS[0], u: x}, ROWS[2]]), `budget ${x}`]])),
  ['leave', ended('leave', []), 'nothing known'], ['finding', asking({}), 'nothing shown'], ['differs', asking({}), 'nothing differs'], ['differs', asking({differences: Array.from({length: 40}, (_, i) => ({...differences[1], letter: String(i)}))}), '40 differ'],
  ['differs', asking({differences: [differences[2]]}), 'stored not told'], ['budget', ended('change', []), 'no rows'], ['budget', ended('change', [], Array.from({length: 30}, (_, i) => ({...ROWS[0], name: `${long} ${i}`}))), '30 rows'],
  ['strand', scene(), 'no choices'], ['strand', scene({question: {fields: [{...choice[0], choices: [{value: 'popping', label: long}]}]}}), 'one choice'], ['port', scene({shown: {device: `/dev/${long}`}}), 'long line'], ['port', scene(), 'no line'],
  ...[null, NaN, -3, 0, 2.4, 5, 6, 7, 11, 12, 13, 20, 25, 39, 41, 1e9].flatMap((n) => /** @type {Array<[string, Scene, string]>} */ ([['tube', turns(n), `tube ${n}`], ['tube', turns(n, {}), `tube ${n}, no bore`], ['liner', fitted('all_metal', n ?? undefined), `liner ${n}`]])),
  ['tube', turns(40, {bore_mm: '6', filament_diameter_mm: '1'}), 'widest'], ['tube', turns(3, {bore_mm: '1', filament_diameter_mm: '1.75'}), 'too narrow'], ['drive', fitted('neither'), 'no such drive'],
  ...[undefined, NaN, -5, 0, 1, 7, 4999, 5000, 99999, 1e7, 1e12].flatMap((n) => /** @type {Array<[string, Scene, string]>} */ ([['streaming', sending(n, 5000, n), `sent ${n}`], ['streaming', sending(n, n), `sent ${n} of it`],
    ['go_on', soFar(n, 5000), `held at ${n}`], ['so_far', soFar(n, n, n), `stopped at ${n}`], ['so_far', soFar(5000, 5000, n), `unsure ${n}`], ['fit', checked('fit', n, n, n, n), `fit ${n}`], ['noisy', checked('noisy', 5000, n, n, n), `noisy ${n}`], ['slow', checked('slow', n, n, n, n), `slow ${n}`]])),
  ['streaming', scene(), 'nothing is sent'], ['go_on', scene(), 'nothing held'], ['fit', ended('fit', []), 'nothing told'], ['noisy', scene(), 'no run'],
  ['switch', scene(), 'not said'], ['switch', scene({printer: {setup: {switch: long}}}), 'own words'], ['interrupted', scene(), 'never read'],
  ...[1, 20, 300, 1999].map((v) => /** @type {[string, Scene, string]} */ (['mark', typed(v, 'fine'), `mark ${v}`])),
  ...[null, 0, -5, 120, 135, 99999].map((v) => /** @type {[string, Scene, string]} */ (['leftover', typed(v, v === null ? 'empty' : v > 120 ? 'impossible' : 'fine'), `leftover ${v}`])),
];
