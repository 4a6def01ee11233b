// The room in plan: walls, the printer, the person, the door; and the same room with its window open.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {machine} from './plan.mjs';
import {px, text} from './pen.mjs';

const DOOR = 56, SASH = 60;

/** @param {Frame} f */
function walls(f) {
  const h = Math.min(f.height - 12, 190), y = (f.height - h) / 2;
  return {x: f.col, y, w: f.right - f.col, h, side: Math.min(84, h - 68)};
}

/** The person: the pointer's own shape, looking at the printer. @param {number} x @param {number} y */
const you = (x, y) => [el('path', {class: 'ink', d: `M${px(x)} ${px(y)}l12 -12h22v24h-22Z`}), text(x + 18, y + 34, t('room.you'), 'fig-small-bold', 'middle')];

/** Stay in the room: the door's way is dashed, for nobody takes it. @param {Frame} f */
export function stay(f) {
  const r = walls(f), right = r.x + r.w, low = r.y + r.h, hinge = low - 16;
  return [
    el('path', {class: 'wall', d: `M${right} ${px(hinge - DOOR)}V${px(r.y)}H${r.x}V${px(low)}H${right}V${px(hinge)}`}),
    el('path', {class: 'way', d: `M${right} ${px(hinge - DOOR)}h${-DOOR + 8}A${DOOR - 8} ${DOOR} 0 0 0 ${right} ${px(hinge)}`}),
    ...machine(r.x + 30, r.y + (r.h - r.side) / 2, r.side),
    ...you(r.x + 30 + r.side + (right - r.x - 30 - r.side) * 0.34, r.y + r.h * 0.42),
  ];
}

/** Open a window: its sash stands out of the wall, and what hangs in the air goes that way. @param {Frame} f */
export function windowOpen(f) {
  const r = walls(f), right = r.x + r.w, low = r.y + r.h, mid = r.y + r.h / 2, top = mid - SASH / 2;
  const from = r.x + 30 + r.side + 16, to = right - 34;
  const wave = (/** @type {number} */ y, /** @type {number} */ w) => {
    const n = Math.max(1, Math.floor((to - from) / 16));
    return el('path', {class: 'wave', 'stroke-width': w, d: `M${px(from)} ${px(y)}q4 -5 8 0${'t8 0'.repeat(2 * n - 1)}`});
  };
  return [
    el('path', {class: 'wall', d: `M${right - 6} ${px(top)}V${px(r.y)}H${r.x}V${px(low)}H${right - 6}V${px(top + SASH)}`}),
    el('path', {class: 'way', d: `M${right - 6} ${px(top)}V${px(top + SASH)}`}),
    el('path', {class: 'stroke', d: `M${right - 6} ${px(top)}l-44 -22M${right - 6} ${px(top + SASH)}l-44 22`}),
    ...machine(r.x + 30, r.y + (r.h - r.side) / 2, r.side),
    wave(mid - 12, 2.8), wave(mid, 2), wave(mid + 12, 1.2),
  ];
}
