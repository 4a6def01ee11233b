// Mark and leftover are one figure: the strand above the extruder's inlet, to scale, with what went in between two marks.

import {el} from '../el.mjs';
import {numeral} from './numeral.mjs';
import {mouth} from './mouth.mjs';
import {SWELL, SWOLLEN, dimension, ground, px, ring, scale, strand, swelling} from './pen.mjs';
import {mm, t} from '../texts.mjs';

const FOOT = 46;      // px from the inlet's face to the figure's end
const STEP_MM = 0.5;  // dragging serves plausibility; the pad is for the value

/** Where lengths above the inlet are drawn. @param {Frame} f @param {number} markMM @param {number} headroom px over the mark */
function lie(f, markMM, headroom) {
  const inlet = f.height - FOOT, top = SWELL + headroom;
  const perMM = (inlet - top) / Math.max(markMM, 1);
  return {inlet, top, perMM, at: (/** @type {number} */ v) => inlet - v * perMM, of: (/** @type {number} */ y) => (inlet - y) / perMM};
}

/** @param {Frame} f @param {ReturnType<typeof lie>} on @param {number} markMM @param {boolean} labelMark @param {number} [under] y of a flag, which a label must not peep out from under */
function strandAndScale(f, on, markMM, labelMark, under = NaN) {
  return [
    ...swelling(f.sx, 0), ...strand(f.sx, SWELL, f.height, {width: SWOLLEN}),
    ...scale(f.sx + SWOLLEN / 2 + 3, on.at, {from: 0, to: markMM, tick: 5, long: 10, label: 20,
      skip: (v) => v === 0 || Math.abs(on.at(v) - under) < 18 || (!labelMark && v > markMM - 12)}),
    ...mouth(f, on.inlet, FOOT - 2),
  ];
}

/** @type {Figure} */
export const mark = {
  place: 'beside', strand: 'carries', least: 190, most: 340,
  inset: (f) => f.sx + 72,
  title: () => t('mark.title'),
  desc: (s) => t('mark.desc', {mark: mm(s.draft.value ?? s.shown.mark_mm)}),
  draw(f, s) {
    const value = s.draft.value ?? s.shown.mark_mm;
    const on = lie(f, value, 62);
    if (s.typing) return [...strandAndScale(f, on, value, true), dimension(f.sx - 24, on.inlet, on.top), ...ring(f.sx, on.top, {width: SWOLLEN, kind: 'dashed'})];
    return [
      ...strandAndScale(f, on, value, false), dimension(f.sx - 24, on.inlet, on.at(value)),
      ground(f.sx + SWOLLEN / 2 + 2, f.width, on.top),
      ...ring(f.sx, on.top, {width: SWOLLEN, kind: 'dashed'}),
      ...numeral(f.sx + 72, on.top, mm(value), 'mm', {to: f.right, most: f.narrow ? 68 : 84}),
    ];
  },
};

/** @type {Figure} */
export const leftover = {
  place: 'beside', strand: 'carries', least: 250, most: 470,
  inset: (f) => f.sx + (f.narrow ? 64 : 78),
  title: () => t('leftover.title'),
  desc: (s) => s.draft.value === null ? t('leftover.desc', {mark: mm(s.shown.mark_mm)})
    : t('leftover.desc2', {mark: mm(s.shown.mark_mm), left: mm(s.draft.value)}),
  draw(f, s) {
    const first = s.shown.mark_mm, on = lie(f, first, 26), left = s.draft.value;
    const bounded = left === null ? null : Math.min(Math.max(left, -0.2 * first), first + 24 / on.perMM);
    const y = bounded === null ? null : on.at(bounded);
    return [
      ...strandAndScale(f, on, first, true, y ?? NaN),
      ...ring(f.sx, on.at(first), {width: SWOLLEN, kind: 'dashed'}),
      ...(y === null ? [] : [dimension(f.sx - 24, on.at(first), y), ...flag(f, y, s.draft.verdict)]),
      handle(f, on, s),
    ];
  },
};

/** The present mark with its flag and three grip lines. @param {Frame} f @param {number} y @param {string} verdict */
function flag(f, y, verdict) {
  const solid = verdict === 'fine', x = f.sx + SWOLLEN / 2 + 2, w = f.narrow ? 42 : 50;
  return [
    ...ring(f.sx, y, {width: SWOLLEN, kind: solid ? 'solid' : 'hollow'}),
    el('path', {class: solid ? 'flag' : 'flag-hollow', d: `M${x} ${px(y)}L${x + 9} ${px(y - 13)}H${x + w}V${px(y + 13)}H${x + 9}Z`}),
    ...[-5, 0, 5].map((d) => el('line', {class: solid ? 'grip' : 'grip-hollow', x1: x + w - 26, x2: x + w - 10, y1: px(y + d), y2: px(y + d)})),
  ];
}

/** All of the figure left of the controls is a handle: dragging writes the draft in steps of half a millimetre. */
function handle(/** @type {Frame} */ f, /** @type {ReturnType<typeof lie>} */ on, /** @type {Scene} */ s) {
  const drag = (/** @type {PointerEvent} */ e) => {
    const area = /** @type {SVGRectElement} */ (e.currentTarget);
    if (e.type === 'pointermove' && !area.hasPointerCapture(e.pointerId)) return;
    if (e.type === 'pointerdown') area.setPointerCapture(e.pointerId);
    const value = Math.round(on.of(e.clientY - area.getBoundingClientRect().top) / STEP_MM) * STEP_MM;
    s.type(String(Math.min(Math.max(value, 0), s.shown.mark_mm)));
  };
  return el('rect', {class: 'handle', x: 0, y: 0, width: f.sx + 64, height: px(f.height), on: {pointerdown: drag, pointermove: drag}});
}
