// The hot end in section: the strand swells, walls either side of it, the melt, the heat below its tip.

import {el} from '../el.mjs';
import {SWELL, SWOLLEN, heat, px, section, strand, swelling} from './pen.mjs';

const BORE = 5, TAPER = 42; // half the opening, px; height of the cone, px

/** Bands of the melt, left to right, as pen.mjs has them for the strand. */
const BANDS = /** @type {const} */ ([['m-edge', 0, 1], ['m-left', 1 / 14, 3 / 14], ['m-body', 3 / 14, 4 / 14], ['m-shine', 4 / 14, 6 / 14],
  ['m-body', 6 / 14, 10 / 14], ['m-right', 10 / 14, 13 / 14]]);

/** The melt: the strand's own light, drawn together to the bore. @param {number} sx @param {number} y0 @param {number} y1 @returns {Node_[]} */
export function melt(sx, y0, y1) {
  const top = (/** @type {number} */ part) => px(sx - SWOLLEN / 2 + part * SWOLLEN);
  const low = (/** @type {number} */ part) => px(sx - BORE + 1 + part * 2 * (BORE - 1));
  const cone = px(y1 - 8);
  return BANDS.map(([cls, a, b]) => el('path', {class: cls,
    d: `M${top(a)} ${px(y0)}L${low(a)} ${cone}V${px(y1)}H${low(b)}V${cone}L${top(b)} ${px(y0)}Z`}));
}

/** Half the width of the hot end outside: less where the margin is narrow. @param {Frame} f */
export const outer = (f) => Math.min(31, f.sx - 2);

/**
 * Strand from the figure's top, swelling at `swell`, walls from below the swelling down to the tip at y.
 * @param {Frame} f @param {number} y @param {{swell?: number, waves?: boolean}} [o] @returns {Node_[]}
 */
export function nozzle(f, y, o = {}) {
  const {sx} = f, out = outer(f), swell = o.swell ?? 0, top = swell + SWELL + 4, cone = y - TAPER, small = out < 30;
  const side = (/** @type {1|-1} */ s) => section(`M${sx + s * 17} ${px(top)}H${sx + s * out}V${px(cone)}L${sx + s * 14} ${px(y)}` +
    `H${sx + s * BORE}V${px(y - 9)}L${sx + s * 17} ${px(cone + 4)}Z`, small);
  return [
    ...(swell > 0 ? strand(sx, 0, swell) : []), ...swelling(sx, swell),
    ...strand(sx, swell + SWELL, cone + 4, {width: SWOLLEN}), ...melt(sx, cone + 4, y),
    ...side(-1), ...side(1),
    ...(o.waves === false ? [] : heat(sx, y + 14)),
  ];
}

/** Least height from the figure's top to the nozzle's tip, px. */
export const NOZZLE = SWELL + 4 + TAPER + 18;

/** Something to catch the strand: rim at y, about the axis. @param {Frame} f @param {number} y @param {number} h */
export function cup(f, y, h) {
  const r = Math.min(27, f.sx - 3);
  return el('path', {class: 'stroke', d: `M${f.sx - r} ${px(y)}L${f.sx - r + 6} ${px(y + h)}H${f.sx + r - 6}L${f.sx + r} ${px(y)}`});
}
