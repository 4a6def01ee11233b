// Gear and idler with the strand between them: what grips, and what pinches.

import {el} from '../el.mjs';
import {arrow} from './marks.mjs';
import {SWOLLEN, px, section} from './pen.mjs';

const TEETH = 36, DEPTH = 4, BITE = 2;

/** Radius of the gear over its teeth, px. @param {Frame} f @param {number} room px above and below its axis */
export const radius = (f, room) => Math.max(24, Math.min(f.narrow ? 38 : 46, room));

/** @param {Frame} f @param {number} r */
export const axis = (f, r) => f.sx + SWOLLEN / 2 + r - BITE;

/** A toothed wheel, turned by `turn` radians. @param {number} cx @param {number} cy @param {number} r @param {number} turn @param {number} [teeth] */
export function wheel(cx, cy, r, turn, teeth = TEETH) {
  const points = Array.from({length: teeth * 2}, (_, i) => {
    const a = turn + i * Math.PI / teeth, d = i % 2 ? r - DEPTH : r;
    return `${px(cx + d * Math.cos(a))} ${px(cy + d * Math.sin(a))}`;
  });
  return `M${points.join('L')}Z`;
}

/** The idler, of which the page's edge leaves a part. @param {Frame} f @param {number} y @param {number} r */
function idler(f, y, r) {
  const cx = f.sx - SWOLLEN / 2 - r, half = cx < 0 ? Math.sqrt(Math.max(0, r * r - cx * cx)) : 0;
  return half > 0 ? el('path', {class: 'stroke', d: `M0 ${px(y - half)}A${px(r)} ${px(r)} 0 0 1 0 ${px(y + half)}`})
    : el('circle', {class: 'stroke', cx: px(cx), cy: px(y), r: px(r)});
}

/** Gear right of the strand and idler left of it, on one axis at y. @param {Frame} f @param {number} y @param {number} r @param {number} travelledPx */
export function gears(f, y, r, travelledPx) {
  const cx = axis(f, r), a = r + 9;
  const from = -1.45, to = -2.3, at = (/** @type {number} */ w) => `${px(cx + a * Math.cos(w))} ${px(y + a * Math.sin(w))}`;
  return [
    idler(f, y, Math.min(34, r)),
    ...section(wheel(cx, y, r, -travelledPx / r), true),
    el('circle', {class: 'part', cx: px(cx), cy: px(y), r: 9}),
    el('path', {class: 'stroke', d: `M${at(from)}A${a} ${a} 0 0 0 ${at(to)}`}),
    arrow(cx + a * Math.cos(to), y + a * Math.sin(to), 140),
  ];
}
