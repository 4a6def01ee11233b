// The lying strand as a rule: rings with their owners' names above, a sleeve for what is uncertain, a scale below.

import {el} from '../el.mjs';
import {layDown} from './bend.mjs';
import {px, text} from './pen.mjs';
import {known, num, widthOf} from './words.mjs';

/** @typedef {{value: number, name: string, kind: 'solid'|'hollow'|'dashed', strong?: boolean}} Ring */
/** Low and high; open: nobody knows where it ends. @typedef {{low: number, high: number, open?: boolean}} Sleeve */

export const OVER = 52, UNDER = 44; // px that names and scale need over and under the rule's axis
const REACH = 11, LABEL = 15;

/** A step of 1, 2 or 5 times a power of ten that is at least `least`. @param {number} least */
function niceStep(least) {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((n) => n * power).find((s) => s >= least * 0.999) ?? power * 10;
}

/** What the rule reaches over, with air at both ends. @param {Ring[]} rings @param {Sleeve|null} sleeve */
function span(rings, sleeve) {
  const all = [...rings.map((r) => r.value), ...(sleeve ? [sleeve.low, sleeve.high] : [])].filter(known);
  const low = Math.min(...all), high = Math.max(...all), air = Math.max((high - low) * 0.3, Math.abs(high) * 0.004, 0.005);
  return {low: low - air, high: high + air * (sleeve?.open ? 2 : 1)};
}

/**
 * @param {Frame} f @param {number} y the strand's axis @param {{rings: Ring[], sleeve: Sleeve|null, decimals: number, fixed?: boolean}} o @returns {Node_[]}
 */
export function rule(f, y, o) {
  const rings = o.rings.filter((r) => known(r.value));
  if (rings.length === 0) return layDown(f, y);
  const s = span(rings, o.sleeve), x0 = f.col + 4, x1 = f.right - 4;
  const at = (/** @type {number} */ v) => x0 + (v - s.low) / (s.high - s.low) * (x1 - x0);
  return [...layDown(f, y), ...scaleBelow(at, s, x1 - x0, y), ...(o.sleeve ? sleeveAt(f, at, o.sleeve, y) : []),
    ...rings.flatMap((r) => ringAt(at(r.value), y, r.kind)), ...names(f, at, rings, y, (v) => num(v, o.decimals, o.fixed))];
}

/** @param {(v: number) => number} at @param {{low: number, high: number}} s @param {number} width @param {number} y */
export function scaleBelow(at, s, width, y) {
  const perPx = (s.high - s.low) / width;
  const label = niceStep(perPx * Math.max(64, widthOf(num(s.high), LABEL) + 24)), tick = niceStep(Math.max(perPx * 8, label / 10 * 0.99));
  /** @type {Node_[]} */
  const out = [];
  for (let n = Math.ceil(s.low / tick); n * tick <= s.high && out.length < 120; n++) {
    const v = n * tick, x = px(at(v)), long = Math.abs(v / label - Math.round(v / label)) < 1e-6;
    out.push(el('line', {class: long ? 'tick-label' : 'tick', x1: x, x2: x, y1: px(y + 13), y2: px(y + (long ? 25 : 19))}));
    const words = num(v, 4), half = widthOf(words, LABEL) / 2;
    if (long && x - half > at(s.low) - 8 && x + half < at(s.high) + 12) out.push(text(x, y + 40, words, 'scale-label', 'middle'));
  }
  return out;
}

/** A ring across the lying strand. @param {number} x @param {number} y @param {Ring['kind']} kind @returns {Node_[]} */
export function ringAt(x, y, kind) {
  const halo = el('rect', {class: 'halo', x: px(x - 4), y: px(y - REACH), width: 8, height: 2 * REACH});
  if (kind === 'hollow') return [el('rect', {class: 'ring-hollow', x: px(x - 3.5), y: px(y - REACH + 1), width: 7, height: 2 * REACH - 2})];
  if (kind === 'dashed') return [halo, el('rect', {class: 'ring-open', x: px(x - 3), y: px(y - REACH + 1), width: 6, height: 2 * REACH - 2})];
  return [halo, el('rect', {class: 'ring', x: px(x - 2.5), y: px(y - REACH), width: 5, height: 2 * REACH})];
}

/** The sleeve: a frame with caps, the strand pale inside. @param {Frame} f @param {(v: number) => number} at @param {Sleeve} s @param {number} y @returns {Node_[]} */
export function sleeveAt(f, at, s, y) {
  const a = Math.max(at(s.low), f.col - 10), b = s.open ? f.width : Math.max(a + 2, Math.min(at(s.high), f.width - 1)), h = 15;
  const cap = (/** @type {number} */ x) => `M${px(x)} ${px(y - h - 5)}V${px(y + h + 5)}`;
  return [
    el('rect', {class: 'pale', x: px(a), y: px(y - 6.5), width: px(b - a), height: 13}),
    el('path', {class: 'stroke', d: `M${px(a)} ${px(y - h)}H${px(b)}M${px(a)} ${px(y + h)}H${px(b)}${cap(a)}${s.open ? '' : cap(b)}`}),
  ];
}

/** Names above the rings, moved apart where they would touch. @param {Frame} f @param {(v: number) => number} at @param {Ring[]} rings @param {number} y @param {(v: number) => string} told */
function names(f, at, rings, y, told) {
  const sorted = rings.map((r) => ({r, x: at(r.value), words: `${r.name}\u00a0${told(r.value)}`}))
    .sort((a, b) => a.x - b.x).map((n) => ({...n, w: widthOf(n.words, LABEL, n.r.strong)}));
  let least = f.col;
  const starts = sorted.map((n) => { const s = Math.max(least, n.x - n.w / 2); least = s + n.w + 12; return s; });
  let most = f.right;
  for (let i = sorted.length - 1; i >= 0; i--) { starts[i] = Math.min(starts[i] ?? 0, most - (sorted[i]?.w ?? 0)); most = (starts[i] ?? 0) - 12; }
  return sorted.flatMap((n, i) => [
    text(Math.max(2, starts[i] ?? 0), y - 40, n.words, n.r.strong ? 'scale-strong' : 'scale-label'),
    el('line', {class: n.r.strong ? 'tick-label' : 'tick', x1: px(n.x), x2: px(n.x), y1: px(y - 33), y2: px(y - REACH - 3)}),
  ]);
}

/** @param {number} v @param {number} u @returns {Sleeve|null} */
export const about = (v, u) => known(v) && known(u) && u > 0 ? {low: v - u, high: v + u} : null;

