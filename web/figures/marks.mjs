// Signs that lie on or beside the strand: what will come, a cut end, a ragged end, a sleeve, flecks that travel.

import {el} from '../el.mjs';
import {THIN, px, strand} from './pen.mjs';

/** What will come: dashes down the axis. @param {number} sx @param {number} y0 @param {number} y1 @returns {Node_[]} */
export const dashes = (sx, y0, y1) => y1 - y0 < 5 ? [] : [el('line', {class: 'fine-dashed', x1: sx, x2: sx, y1: px(y0), y2: px(y1)})];

/** The strand ends here, cut at 45 degrees, and dashes go on. y: the middle of the cut. @param {number} sx @param {number} y @param {number} end @returns {Node_[]} */
export const tip = (sx, y, end) => [...strand(sx, 0, y, {cut: true}),
  el('line', {class: 'm-cut', x1: sx - THIN / 2, x2: sx + THIN / 2, y1: px(y + THIN / 2), y2: px(y - THIN / 2)}), ...dashes(sx, y + 20, end)];

/** A cross-tick of the dashes: a step to come. @param {number} sx @param {number} y */
export const step = (sx, y) => el('line', {class: 'step-to-come', x1: sx - 7, x2: sx + 7, y1: px(y), y2: px(y)});

/**
 * Slanted flecks that make travel visible: `travelled` px have passed; between y0 and y1.
 * @param {number} sx @param {number} width @param {number} y0 @param {number} y1 @param {number} travelled @returns {Node_[]}
 */
export function flecks(sx, width, y0, y1, travelled) {
  const gap = 40, slant = width / 3, r = width / 2 - 1, first = ((travelled % gap) + gap) % gap;
  /** @type {Node_[]} */
  const out = [];
  for (let y = y0 + first; y + slant + 4 <= y1; y += gap)
    out.push(el('path', {class: 'fleck', d: `M${sx - r} ${px(y + slant)}L${sx + r} ${px(y)}v4L${sx - r} ${px(y + slant + 4)}Z`}));
  return out;
}

/** The bracket that holds a part of the strand, right of it. @param {number} x @param {number} y0 @param {number} y1 @param {boolean} main */
export const bracket = (x, y0, y1, main) => el('path', {class: main ? 'stroke' : 'bracket', d: `M${x} ${px(y0)}h6V${px(y1)}h-6`});

/** A small open arrow head at (x, y), pointing by `turn` degrees from rightwards. @param {number} x @param {number} y @param {number} turn */
export const arrow = (x, y, turn) => {
  const at = (/** @type {number} */ a) => `${px(x + 9 * Math.cos(a))} ${px(y + 9 * Math.sin(a))}`, back = (turn + 180) * Math.PI / 180;
  return el('path', {class: 'stroke', d: `M${at(back - 0.5)}L${px(x)} ${px(y)}L${at(back + 0.5)}`});
};
