// Mark and leftover are one figure: the strand above the extruder's inlet, to scale, with what went in between two marks.
// Several lengths against one mark are the same with more readings.

import {numeral} from './numeral.mjs';
import {SWOLLEN, dimension, ground, ring} from './pen.mjs';
import {flag, handle, lengthOf, lie, strandAndScale, tape} from './reading.mjs';
import {between, known} from './words.mjs';
import {mm, t} from '../texts.mjs';

/** @typedef {import('./reading.mjs').Lie} Lie */

/** @type {Figure} */
export const mark = {
  place: 'beside', strand: 'carries', least: 190, most: 340,
  inset: (f) => f.sx + 72,
  title: () => t('mark.title'),
  desc: (s) => t('mark.desc', {mark: mm(s.draft.value ?? s.shown.mark_mm)}),
  draw(f, s) {
    const value = s.draft.value ?? s.shown.mark_mm;
    const on = lie(f, value, 62);
    if (s.typing) return [...strandAndScale(f, on, value), dimension(f.sx - 24, on.inlet, on.top), ...ring(f.sx, on.top, {width: SWOLLEN, kind: 'dashed'})];
    return [
      ...strandAndScale(f, on, value, {hides: (v) => v > value - 12}), dimension(f.sx - 24, on.inlet, on.at(value)),
      ground(f.sx + SWOLLEN / 2 + 2, f.width, on.top),
      ...ring(f.sx, on.top, {width: SWOLLEN, kind: 'dashed'}),
      ...numeral(f.sx + 72, on.top, mm(value), 'mm', {to: f.right, most: f.narrow ? 68 : 84}),
    ];
  },
};

/**
 * What is left above the inlet of what was marked: was says how the first mark is drawn (hides: over its label), so far what was read before.
 * @param {Frame} f @param {Scene} s @param {{was: (on: Lie, first: number) => Node_[], hides?: boolean, sofar?: (on: Lie) => Node_[]}} o
 */
function left(f, s, o) {
  const first = lengthOf(s.shown.mark_mm, 120), on = lie(f, first, 26), value = s.draft.value;
  const y = value === null || !known(value) ? null : on.at(between(value, -0.2 * first, first + 24 / on.perMM));
  return [
    ...strandAndScale(f, on, first, {hides: (_, at) => (y !== null && Math.abs(at - y) < 18) || (Boolean(o.hides) && Math.abs(at - on.at(first)) < 14)}),
    ...o.was(on, first), ...(o.sofar?.(on) ?? []),
    ...(y === null ? [] : [dimension(f.sx - 24, on.at(first), y), ...flag(f, y, s.draft.verdict)]),
    handle(f, s, on.of, first),
  ];
}

/** The first mark, which is there no longer. @param {Frame} f */
const marked = (f) => (/** @type {Lie} */ on, /** @type {number} */ first) => ring(f.sx, on.at(first), {width: SWOLLEN, kind: 'dashed'});

/** @type {Omit<Figure, 'draw'>} */
const LEFTOVER = {
  place: 'beside', strand: 'carries', least: 250, most: 470,
  inset: (f) => f.sx + (f.narrow ? 64 : 78),
  title: () => t('leftover.title'),
  desc: (s) => s.draft.value === null ? t('leftover.desc', {mark: mm(s.shown.mark_mm)})
    : t('leftover.desc2', {mark: mm(s.shown.mark_mm), left: mm(s.draft.value)}),
};

/** @type {Figure} */
export const leftover = {...LEFTOVER, draw: (f, s) => left(f, s, {was: marked(f)})};

/** @param {Scene} s @returns {number[]} */
const readings = (s) => (Array.isArray(s.shown.read_mm) ? s.shown.read_mm : []).filter((/** @type {any} */ x) => known(x) && x >= 0 && x <= lengthOf(s.shown.mark_mm, 120));

/** Each length has left its ring. @type {Figure} */
export const lengths = {
  ...LEFTOVER,
  title: () => t('lengths.title'),
  desc: (s) => [LEFTOVER.desc({...s, shown: {mark_mm: lengthOf(s.shown.mark_mm, 120)}}), readings(s).length ? t('lengths.sofar', {read: readings(s).map(mm).join(', ')}) : ''].filter(Boolean).join(' '),
  draw: (f, s) => left(f, s, {was: marked(f), sofar: (on) => readings(s).flatMap((v) => ring(f.sx, on.at(v), {width: SWOLLEN}))}),
};

/** What is left of two flags is the far one. @type {Figure} */
export const farFlag = {
  ...LEFTOVER,
  title: () => t('far_flag.title'),
  desc: (s) => { const was = mm(lengthOf(s.shown.mark_mm, 120)); return s.draft.value === null ? t('far_flag.desc', {was}) : t('far_flag.desc2', {was, left: mm(s.draft.value)}); },
  draw: (f, s) => left(f, s, {was: (on, first) => tape(f, on.at(first), false), hides: true}),
};
