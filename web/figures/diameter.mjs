// The diameter as it was found: the number first, then the strand lies down and is the length that was measured. Over each
// place stands what was read there, one way solid, a quarter turn on hollow, about the mean with its sleeve.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {readsOf} from './across.mjs';
import {RADIUS, layDown} from './bend.mjs';
import {numeral} from './numeral.mjs';
import {px, text} from './pen.mjs';
import {ringAt} from './rule.mjs';
import {between, known, num, plusMinus, widthOf} from './words.mjs';

/** @typedef {import('./across.mjs').Read} Read */
/** @typedef {{mean: any, u95: any, reads: Read[], places: number}} Told */

const UNDER = 58, MOST_PLACES = 20; // px under the lying strand's axis

/** Readings of a run as they count: one that was asked again counts as it was then. @param {Run|null} run @returns {Array<number|undefined>} */
export function countedOf(run) {
  /** @type {Array<number|undefined>} */
  const out = [];
  for (const a of run?.answers ?? []) {
    const n = Number(/^reading (\d+)/.exec(a.name)?.[1] ?? 0);
    if (n > 0 && n <= 2 * MOST_PLACES && known(a.answer?.across_mm)) out[n - 1] = a.answer.across_mm;
  }
  return out;
}

/** @param {Scene} s @returns {Told} */
function told(s) {
  const of = (/** @type {string} */ name) => s.run?.finding?.values?.find((v) => v.name === name), mean = of('filament_diameter_mm'), reads = readsOf(countedOf(s.run));
  return {mean: mean?.value, u95: mean?.u95, reads, places: Math.max(1, ...reads.map((r) => r.place))};
}

/** The line under the number. @param {Told} it */
const plusOf = (it) => known(it.u95) ? `${plusMinus(it.u95)}\u00a0mm` : '';

/** Lowest and highest of what is drawn. @param {Told} it */
function span(it) {
  const all = [...it.reads.map((r) => r.mm), ...(known(it.mean) ? [it.mean, it.mean - (it.u95 || 0), it.mean + (it.u95 || 0)] : [])].filter(known);
  return all.length ? {low: Math.min(...all), high: Math.max(...all)} : {low: 0, high: 0};
}

/** The mean and its ±: a frame from low to high, caps at its ends. @param {number} x0 @param {number} x1 @param {(v: number) => number} at @param {Told} it */
function sleeve(x0, x1, at, it) {
  if (!known(it.mean)) return [];
  const y = px(at(it.mean)), a = px(at(it.mean - (it.u95 || 0))), b = px(at(it.mean + (it.u95 || 0)));
  return [el('line', {class: 'level', x1: px(x0), x2: px(x1), y1: y, y2: y}), ...(known(it.u95) && Math.abs(a - b) > 2 ? [el('path', {class: 'sleeve', d: `M${px(x0)} ${a}H${px(x1)}M${px(x0)} ${b}H${px(x1)}M${px(x0)} ${a + 5}V${b - 5}M${px(x1)} ${a + 5}V${b - 5}`})] : [])];
}

/** What was read at a place: two short bars beside each other, over its ring. @param {Read} r @param {number} x @param {number} y @param {number} wide */
const mark = (r, x, y, wide) => r.square ? el('rect', {class: 'ring-hollow', x: px(x + 1), y: px(y - 3), width: wide, height: 6}) : el('rect', {class: 'ring', x: px(x - 1 - wide), y: px(y - 2), width: wide, height: 4});

/** Numbers at the right of the highest and the lowest reading. @param {Frame} f @param {(v: number) => number} at @param {Told} it @param {number} most y of the lower one */
function ends(f, at, it, most) {
  if (!it.reads.length) return [];
  const low = Math.min(...it.reads.map((r) => r.mm)), high = Math.max(...it.reads.map((r) => r.mm));
  return [text(f.right, at(high) + (high === low ? 5 : 2), num(high), 'scale-label', 'end'), ...(high > low ? [text(f.right, Math.max(at(low) + 7, at(high) + 20), num(low), 'scale-label', 'end')].filter((n) => n.props.y <= most) : [])];
}

/** Which bar is which. @param {Frame} f @param {number} y */
function legend(f, y) {
  const second = f.col + 26 + widthOf(t('diameter.one'), 15) + 14;
  return [el('rect', {class: 'ring', x: f.col, y: y - 7, width: 14, height: 4}), text(f.col + 20, y, t('diameter.one'), 'scale-label'),
    el('rect', {class: 'ring-hollow', x: px(second), y: y - 8, width: 14, height: 6}), text(second + 20, y, t('diameter.turned'), 'scale-label')];
}

/** @param {boolean} hollow @returns {Figure} */
const found = (hollow) => ({
  place: 'above', strand: 'turns', least: 236, most: 300,
  title: () => t('diameter.title'),
  desc: (s) => { const it = told(s); return t('diameter.desc', {number: num(it.mean, 3), plus: plusOf(it), n: it.reads.length}); },
  draw(f, s) {
    const it = told(s), y = f.height - UNDER, size = f.height > 270 ? 84 : 60, foot = size + 8, plus = foot + 20, top = plus + 20, low = y - 26, v = span(it);
    const at = (/** @type {number} */ mm) => v.high > v.low ? low - (mm - v.low) / (v.high - v.low) * (low - top) : (low + top) / 2;
    const x0 = f.sx + RADIUS + 18, x1 = f.right - 44, places = between(it.places, 1, MOST_PLACES), pitch = (x1 - x0) / places, wide = between(pitch / 2 - 3, 5, 12), x = (/** @type {number} */ n) => x0 + pitch * (n - 0.5);
    return [...numeral(f.col, foot, num(it.mean, 3, true), 'mm', {to: f.right, hollow, most: size}), text(f.col, plus, plusOf(it), 'plus'),
      ...layDown(f, y), ...sleeve(x0 - 8, x1, at, it), ...it.reads.map((r) => mark(r, x(r.place), at(r.mm), wide)),
      ...Array.from({length: it.reads.length ? places : 0}, (_, i) => i + 1).flatMap((n) => [...ringAt(x(n), y, 'solid'), ...(pitch >= 16 ? [text(x(n), y + 29, String(n), 'scale-label', 'middle')] : [])]),
      ...ends(f, at, it, y - 12), ...legend(f, f.height - 7)];
  },
});

export const diameter = found(false), uneven = found(true);
