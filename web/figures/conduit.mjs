// A strand that follows a path, and the tube round it: what bends is drawn by strokes along its middle.

import {el} from '../el.mjs';
import {px, section} from './pen.mjs';

/** @typedef {{x: number, y: number, down: boolean}} End  where a path ends, and whether it heads down or to the right */

/** @param {string} cls @param {string} d @param {number} width */
const stroke = (cls, d, width) => el('path', {class: cls, d, 'stroke-width': px(width)});

/** A strand along d. @param {string} d @param {number} width px @returns {Node_[]} */
export const along = (d, width) => [stroke('line-edge', d, width), stroke('line-mat', d, Math.max(1, width - 2)), ...(width > 5 ? [stroke('line-shine', d, width / 7)] : [])];

/** A tube along d with its strand. @param {string} d @param {number} half its half width outside @returns {Node_[]} */
export const conduit = (d, half) => [stroke('line-wall', d, 2 * half), stroke('line-bore', d, Math.max(1, 2 * half - 4)), ...along(d, half * 14 / 13)];

/** A coupler in section about an upright axis, from y down. @param {number} x @param {number} y @param {number} h @param {number} inner @param {number} outer */
export const coupler = (x, y, h, inner, outer) => [-1, 1].flatMap((s) => section(`M${px(x + s * inner)} ${px(y)}H${px(x + s * outer)}v${h}H${px(x + s * inner)}Z`, true));

export const HOT = 54; // px from where the tube ends to the tip

/** The hot end in section, on from where a tube ends. @param {End} e @param {number} k its size, 1 is whole @param {number} width of the strand @returns {Node_[]} */
export function hotEnd(e, k, width) {
  const at = (/** @type {number} */ a, /** @type {number} */ c) => e.down ? `${px(e.x + c * k)} ${px(e.y + a * k)}` : `${px(e.x + a * k)} ${px(e.y + c * k)}`;
  const w = width / k / 2 - 1;
  const wall = (/** @type {1|-1} */ s) => section(`M${at(0, s * 9)}L${at(0, s * 18)}L${at(34, s * 18)}L${at(HOT, s * 8)}L${at(HOT, s * 3)}L${at(46, s * 3)}L${at(36, s * 9)}Z`, true);
  return [...along(`M${at(-2, 0)}L${at(36, 0)}`, width),
    el('path', {class: 'm-body', d: `M${at(35, -w)}L${at(46, -2)}L${at(HOT, -2)}L${at(HOT, 2)}L${at(46, 2)}L${at(35, w)}Z`}), ...wall(-1), ...wall(1)];
}
