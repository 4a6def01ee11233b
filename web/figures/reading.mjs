// What all readings along the filament share: where lengths lie, the strand with its scale, the flag that is dragged, and
// the whole figure as its handle.

import {el} from '../el.mjs';
import {mouth} from './mouth.mjs';
import {SWELL, SWOLLEN, px, ring, scale, strand, swelling} from './pen.mjs';
import {between, known} from './words.mjs';

const FOOT = 46;      // px from the inlet's face to the figure's end
const STEP_MM = 0.5;  // dragging serves plausibility; the pad is for the value
const LONGEST_MM = 2000;

/** @typedef {{inlet: number, top: number, perMM: number, at: (mm: number) => number, of: (y: number) => number}} Lie */
/** Ticks of a scale, mm. @typedef {{tick: number, long: number, label: number}} Ticks */

/** A length that can be drawn, or what is usual. @param {any} mm @param {number} usual */
export const lengthOf = (mm, usual) => known(mm) && mm > 0 ? Math.min(mm, LONGEST_MM) : usual;

/** Where lengths above the inlet are drawn. @param {Frame} f @param {number} markMM @param {number} headroom px over the mark @returns {Lie} */
export function lie(f, markMM, headroom) {
  const inlet = f.height - FOOT, top = SWELL + headroom;
  const perMM = (inlet - top) / Math.max(markMM, 1);
  return {inlet, top, perMM, at: (v) => inlet - v * perMM, of: (y) => (inlet - y) / perMM};
}

/** @type {Ticks} */
const USUAL = {tick: 5, long: 10, label: 20};

/** @param {Frame} f @param {Lie} on @param {number} markMM how far the scale goes @param {{hides?: (v: number, y: number) => boolean, ticks?: Ticks}} [o] hides: labels that something stands before */
export function strandAndScale(f, on, markMM, o = {}) {
  return [
    ...swelling(f.sx, 0), ...strand(f.sx, SWELL, f.height, {width: SWOLLEN}),
    ...scale(f.sx + SWOLLEN / 2 + 3, on.at, {from: 0, to: markMM, ...(o.ticks ?? USUAL), skip: (v) => v === 0 || Boolean(o.hides?.(v, on.at(v)))}),
    ...mouth(f, on.inlet, FOOT - 2),
  ];
}

/** The present mark with its flag and three grip lines. @param {Frame} f @param {number} y @param {string} verdict */
export function flag(f, y, verdict) {
  const solid = verdict === 'fine', x = f.sx + SWOLLEN / 2 + 2, w = f.narrow ? 42 : 50;
  return [
    ...ring(f.sx, y, {width: SWOLLEN, kind: solid ? 'solid' : 'hollow'}),
    el('path', {class: solid ? 'flag' : 'flag-hollow', d: `M${x} ${px(y)}L${x + 9} ${px(y - 13)}H${x + w}V${px(y + 13)}H${x + 9}Z`}),
    ...[-5, 0, 5].map((d) => el('line', {class: solid ? 'grip' : 'grip-hollow', x1: x + w - 26, x2: x + w - 10, y1: px(y + d), y2: px(y + d)})),
  ];
}

/** A flag of tape round the strand: there, or not there yet or no longer. @param {Frame} f @param {number} y @param {boolean} there */
export function tape(f, y, there) {
  const x = f.sx + SWOLLEN / 2 + 2, w = 26;
  return [...ring(f.sx, y, {width: SWOLLEN, kind: there ? 'solid' : 'dashed'}),
    el('path', {class: there ? 'part' : 'ring-open', d: `M${x} ${px(y - 7)}H${x + w}L${x + w - 6} ${px(y)}L${x + w} ${px(y + 7)}H${x}Z`})];
}

/** All of the figure left of the controls is a handle: dragging writes the draft in steps of half a millimetre. @param {Frame} f @param {Scene} s @param {(y: number) => number} of mm at a height @param {number} most mm */
export function handle(f, s, of, most) {
  const drag = (/** @type {PointerEvent} */ e) => {
    const area = /** @type {SVGRectElement} */ (e.currentTarget);
    if (e.type === 'pointermove' && !area.hasPointerCapture(e.pointerId)) return;
    if (e.type === 'pointerdown') area.setPointerCapture(e.pointerId);
    const value = Math.round(of(e.clientY - area.getBoundingClientRect().top) / STEP_MM) * STEP_MM;
    s.type(String(between(value, 0, most)));
  };
  return el('rect', {class: 'handle', x: 0, y: 0, width: f.sx + 64, height: px(f.height), on: {pointerdown: drag, pointermove: drag}});
}
