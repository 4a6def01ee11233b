// The filament as it is seen on its cut end, and the jaws of a caliper on both sides of it.

import {el} from '../el.mjs';
import {px, section} from './pen.mjs';

const CURVE = 0.5523; // control points that make a quarter of a circle of one cubic curve; mathematics, recalled from memory

/** An oval about (cx, cy), as a path. @param {number} cx @param {number} cy @param {number} rx @param {number} ry */
function oval(cx, cy, rx, ry) {
  const at = (/** @type {number} */ x, /** @type {number} */ y) => `${px(cx + x * rx)} ${px(cy + y * ry)}`, k = CURVE;
  return `M${at(-1, 0)}C${at(-1, -k)} ${at(-k, -1)} ${at(0, -1)}C${at(k, -1)} ${at(1, -k)} ${at(1, 0)}C${at(1, k)} ${at(k, 1)} ${at(0, 1)}C${at(-k, 1)} ${at(-1, k)} ${at(-1, 0)}Z`;
}

/**
 * The cut end: its edge, its material, light from above left; a dot near its rim tells one side from the next.
 * @param {{cx: number, cy: number, rx: number, ry: number, turned: boolean, hollow: boolean}} o @returns {Node_[]}
 */
export function cutFace(o) {
  const {cx, cy, rx, ry} = o, dot = el('circle', {class: 'pit', cx: px(o.turned ? cx + rx * 0.72 : cx), cy: px(o.turned ? cy : cy - ry * 0.72), r: 4});
  if (o.hollow) return [el('path', {class: 'ring-hollow', d: oval(cx, cy, rx, ry)}), dot];
  return [el('path', {class: 'm-edge', d: oval(cx, cy, rx, ry)}), el('path', {class: 'm-right', d: oval(cx, cy, rx - 1.5, ry - 1.5)}),
    el('path', {class: 'm-body', d: oval(cx - rx * 0.05, cy - ry * 0.05, rx * 0.93 - 1.5, ry * 0.93 - 1.5)}), dot];
}

/** Two jaws that come from below, their faces at x0 and x1, their tips at y. @param {number} x0 @param {number} x1 @param {number} y @param {number} foot @param {number} wide @returns {Node_[]} */
export const jaws = (x0, x1, y, foot, wide) => [
  ...section(`M${px(x0)} ${px(y)}V${px(foot)}H${px(x0 - wide)}V${px(y + wide * 0.6)}Z`, true),
  ...section(`M${px(x1)} ${px(y)}V${px(foot)}H${px(x1 + wide)}V${px(y + wide * 0.6)}Z`, true),
];
