// What a ladder found: number first, then the strand lies down, and over each rung that was printed stand as many strokes as
// the grade of its worst gap. An upright bar is the ceiling that was not passed.

import {t} from '../texts.mjs';
import {el} from '../el.mjs';
import {layDown} from './bend.mjs';
import {notes, numeral} from './numeral.mjs';
import {px, text} from './pen.mjs';
import {ringAt, scaleBelow, sleeveAt} from './rule.mjs';
import {between, known, num} from './words.mjs';

/** One that was printed, and how its worst gap looked, 0 to 4. @typedef {{value: number, grade?: number}} Rung */

const UNDER = 46, MOST = 64; // px under the strand; rungs drawn
const HOLLOW = {none: 'rungs.none', damp: 'rungs.none', not_reached: 'rungs.above', hot_end: 'rungs.stop', later: 'rungs.later', cannot_tell: 'rungs.unknown'};

/** @param {Scene} s */
function toldOf(s) {
  const value = (/** @type {string} */ name) => { const v = s.run?.finding?.values?.find((x) => x.name === name)?.value; return known(v) && Math.abs(v) < 1e5 ? v : undefined; };
  const travel = s.run?.routine === 'travel_ladder', found = value(travel ? 'travel_speed_mm_per_s' : 'retraction_length_mm'), kind = s.run?.finding?.kind ?? '';
  const low = value('from_mm'), high = value('to_mm'), word = /** @type {Record<string, any>} */ (HOLLOW)[kind] ?? 'rungs.unknown', pieces = value('pieces');
  const rungs = (Array.isArray(s.shown.rungs) ? /** @type {Rung[]} */ (s.shown.rungs) : []).filter((r) => known(r.value) && r.value >= 0 && r.value < 1e5).slice(0, MOST);
  return {number: found === undefined ? t(word) : num(found), unit: found === undefined ? '' : travel ? 'mm/s' : 'mm', found, low, high, rungs, ceiling: kind === 'not_reached' || kind === 'none',
    below: [low !== undefined && high !== undefined ? t('rungs.from', {low: num(low), high: num(high)}) : '', pieces ? t(pieces === 1 ? 'rungs.piece' : 'rungs.pieces', {n: num(pieces, 0)}) : ''].filter(Boolean).join(', ')};
}

/** @param {number} x @param {number} y @param {number|undefined} grade */
const strokes = (x, y, grade) => Array.from({length: between(Math.round(grade ?? 0), 0, 4)}, (_, i) => el('path', {class: 'wave', 'stroke-width': 1 + i * 0.4, d: `M${px(x - 8)} ${px(y - 24 - 8 * i)}q8 5 16 0`}));

/** @type {Figure} */
export const rungs = {
  place: 'above', strand: 'turns', least: 180, most: 236,
  title: () => t('rungs.title'),
  desc: (s) => { const it = toldOf(s); return `${it.number} ${it.unit} ${it.below}. ${it.rungs.map((r) => `${num(r.value)}: ${num(r.grade, 0)}`).join(', ')}`.replace(/\s+/g, ' '); },
  draw(f, s) {
    const it = toldOf(s), y = f.height - UNDER, all = [...it.rungs.map((r) => r.value), it.found, it.low, it.high].filter(known);
    const head = [...numeral(f.col, y - 83, it.number, it.unit, {to: f.right, hollow: it.found === undefined, most: f.height >= 220 ? 68 : 52}), ...notes(f.col, y - 70, it.below, f.right, 1)];
    if (all.length === 0) return [...layDown(f, y), ...head];
    const high = Math.max(...all), low = Math.min(...all), air = Math.max((high - low) * 0.08, high * 0.02, 0.05), x0 = f.col + 14, x1 = f.right - 14, span = {low: Math.max(0, low - air), high: high + air};
    const at = (/** @type {number} */ v) => x0 + (v - span.low) / (span.high - span.low) * (x1 - x0);
    return [...layDown(f, y), ...head, ...scaleBelow(at, span, x1 - x0, y),
      ...it.rungs.flatMap((r) => [el('line', {class: 'rung', x1: px(at(r.value)), x2: px(at(r.value)), y1: y - 12, y2: y + 12}), ...strokes(at(r.value), y, r.grade)]),
      ...(it.low !== undefined && it.high !== undefined && it.high > it.low ? sleeveAt(f, at, {low: it.low, high: it.high}, y) : []), ...(it.found === undefined ? [] : ringAt(at(it.found), y, 'solid')),
      ...(it.ceiling && it.rungs.length ? [el('line', {class: 'wall', x1: px(at(high) + 8), x2: px(at(high) + 8), y1: y - 46, y2: y + 14}), text(at(high) + 8, y - 50, t('rungs.ceiling'), 'scale-label', 'end')] : [])];
  },
};
