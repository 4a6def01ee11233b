// The strand turns and lies down as a rule. Light still falls from above left, so the shine crosses over inside the bend.

import {el} from '../el.mjs';
import {THIN, px, strand} from './pen.mjs';

export const RADIUS = 34;
const STEPS = 14;

/**
 * A band of the bend between two radii at its beginning and two at its end, as a polygon.
 * @param {number} cx @param {number} cy @param {string} cls @param {[number, number]} begin @param {[number, number]} end
 */
function band(cx, cy, cls, begin, end) {
  const edge = (/** @type {0|1} */ side) => Array.from({length: STEPS + 1}, (_, i) => {
    const part = i / STEPS, a = Math.PI - part * Math.PI / 2, r = begin[side] + (end[side] - begin[side]) * part;
    return `${px(cx + r * Math.cos(a))} ${px(cy + r * Math.sin(a))}`;
  });
  return el('path', {class: cls, d: `M${edge(0).join('L')}L${edge(1).reverse().join('L')}Z`});
}

/** Bands of a lying strand: [class, from, to] px from its upper edge. */
const LYING = /** @type {const} */ ([['m-edge', 0, 14], ['m-left', 1, 3], ['m-body', 3, 4], ['m-shine', 4, 6], ['m-body', 6, 10], ['m-right', 10, 13]]);

/** A lying strand about y. @param {number} x0 @param {number} x1 @param {number} y @returns {Node_[]} */
export const lying = (x0, x1, y) => LYING.map(([cls, a, b]) => el('rect', {class: cls, x: px(x0), y: px(y - THIN / 2 + a), width: px(x1 - x0), height: b - a}));

/** The same, cut at 45 degrees: the middle of the cut is at x1. @param {number} x0 @param {number} x1 @param {number} y @returns {Node_[]} */
function lyingCut(x0, x1, y) {
  const end = (/** @type {number} */ a) => px(Math.max(x0, x1 + THIN / 2 - a)), at = (/** @type {number} */ a) => px(y - THIN / 2 + a);
  return LYING.map(([cls, a, b]) => el('path', {class: cls, d: `M${px(x0)} ${at(a)}H${end(a)}L${end(b)} ${at(b)}H${px(x0)}Z`}));
}

/** From the figure's top down, round, and along y: to the page's right edge, or to `until` and cut there. @param {Frame} f @param {number} y @param {number} [until] @returns {Node_[]} */
export function layDown(f, y, until) {
  const cx = f.sx + RADIUS, cy = y - RADIUS;
  const at = (/** @type {string} */ cls, /** @type {[number, number]} */ begin, /** @type {[number, number]} */ end) => band(cx, cy, cls, begin, end);
  return [
    ...strand(f.sx, 0, cy), ...(until === undefined ? lying(cx, f.width, y) : lyingCut(cx, until, y)),
    at('m-edge', [27, 41], [27, 41]), at('m-body', [28, 40], [28, 40]),
    at('m-left', [38, 40], [40, 40]), at('m-right', [40, 40], [37, 40]),
    at('m-right', [28, 31], [28, 28]), at('m-left', [28, 28], [28, 30]),
    at('m-shine', [35, 37], [31, 33]),
  ];
}
