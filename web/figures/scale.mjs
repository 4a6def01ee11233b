// What heating and feeding share: the strand passes a pointer that stays, its ticks with it, and the number on its line is
// what stands at the pointer.

import {el} from '../el.mjs';
import {SWELL, SWOLLEN, ground, px, scale, strand, swelling} from './pen.mjs';
import {between, known} from './words.mjs';

/** Where the numbers of a passing scale stand: right of its labels. @param {Frame} f */
export const column = (f) => f.sx + (f.narrow ? 72 : 88);

/**
 * The swollen strand to `foot` with the ticks that are in sight.
 * @param {Frame} f @param {{now: number, y: number, perUnit: number, foot: number, tick: number, long: number, label: number, top?: number, skip?: (v: number) => boolean}} o
 */
export function passing(f, o) {
  const now = known(o.now) ? between(o.now, -MOST, MOST) : null;
  const at = (/** @type {number} */ v) => o.y - (v - (now ?? 0)) * o.perUnit;
  const of = (/** @type {number} */ y) => (now ?? 0) + (o.y - y) / o.perUnit;
  const nearNow = (/** @type {number} */ v) => Math.abs(at(v) - o.y) < 16;
  /** @type {Node_[]} */
  const ticks = now === null ? [] : scale(f.sx + SWOLLEN / 2 + 3, at, {from: Math.max(0, of(o.foot - 4)), to: of(o.top ?? SWELL + 10),
    tick: o.tick, long: o.long, label: o.label, skip: (v) => nearNow(v) || Boolean(o.skip?.(v))});
  return {at, of, nodes: [...swelling(f.sx, 0), ...strand(f.sx, SWELL, o.foot, {width: SWOLLEN}), ...ticks]};
}

const MOST = 99999;

/** Pointer and the line on which the number stands. @param {Frame} f @param {number} y @returns {Node_[]} */
export const now = (f, y) => [nose(f.sx - SWOLLEN / 2 - 3, y), ground(f.sx - SWOLLEN / 2, f.width, y)];

/** The pointer, short of the swollen strand by 3 px. @param {number} x where it ends @param {number} y */
export const nose = (x, y) => el('path', {class: 'ink', d: `M0 ${px(y - 9)}H${px(Math.max(0, x - 9))}L${px(x)} ${px(y)}L${px(Math.max(0, x - 9))} ${px(y + 9)}H0Z`});
