// A piece while it is printed: only what stands is drawn. Its height is at the pointer, the letters of what is to come stand
// on the strand above.

import {about, t} from '../texts.mjs';
import {numeral} from './numeral.mjs';
import {drawingOf, foot, posts, signs} from './piece.mjs';
import {SWELL, SWOLLEN, ground, strand, swelling, text} from './pen.mjs';
import {column, nose} from './scale.mjs';
import {between, known, num} from './words.mjs';

const UNDER = 16;

/** How high it stands, mm, and which band is under way: 0 the foot, 1 the first band. @param {Scene} s @param {Drawing} d */
function standing(s, d) {
  const n = d.bands.length, at = known(s.shown.band) ? between(Math.round(s.shown.band), 0, n + 1) : 0, part = known(s.shown.part) ? between(s.shown.part, 0, 1) : 0;
  if (at === 0) return {at, high: d.foot_mm * part};
  const b = d.bands[Math.min(at, n) - 1];
  return {at, high: at > n ? b.to_mm : b.from_mm + part * (b.to_mm - b.from_mm)};
}

/** @param {Scene} s @param {Drawing|null} d */
function below(s, d) {
  if (!d) return '';
  const {at} = standing(s, d), n = d.bands.length;
  return at === 0 ? t('printing.foot') : at > n ? t('printing.end') : t('printing.band', {band: d.bands[at - 1].letter, last: d.bands[n - 1].letter});
}

/** @param {Scene} s */
const left = (s) => known(s.shown.leftS) && s.shown.leftS > 0 && s.shown.leftS < 1e6 ? t('printing.left', {left: about(s.shown.leftS)}) : '';

/** @type {Figure} */
export const printing = {
  place: 'beside', strand: 'carries', least: 240, most: 470,
  inset: column,
  title: () => t('printing.title'),
  desc: (s) => { const d = drawingOf(s.shown.drawing); return [d ? `${num(standing(s, d).high, 1, true)} mm,` : t('piece.unknown'), below(s, d), left(s)].filter(Boolean).join(' '); },
  draw(f, s) {
    const d = drawingOf(s.shown.drawing), bed = f.height - UNDER;
    if (!d) return [...strand(f.sx, 0, bed), text(f.col, f.height / 2, t('piece.unknown'), 'fig-text2')];
    const {at, high} = standing(s, d), tall = d.bands[d.bands.length - 1].to_mm, top = f.height >= 320 ? 128 : 112, perMM = (bed - top) / tall;
    const x0 = column(f) - 30, x1 = f.right - 2, plot = {x: (/** @type {number} */ mm) => x0 + mm / d.long_mm * (x1 - x0), y: (/** @type {number} */ mm) => bed - mm * perMM};
    const y = plot.y(high), whole = d.bands.filter((b) => b.to_mm <= high + 1e-9);
    return [
      ...swelling(f.sx, 0), ...strand(f.sx, SWELL, bed, {width: SWOLLEN}),
      ...(high > d.foot_mm ? posts(d, plot, d.foot_mm, high) : []), ...signs(d, plot, whole, high >= tall - 1e-9), ...foot(d, plot, plot.y(Math.min(high, d.foot_mm)), bed),
      ...d.bands.flatMap((b, i) => Math.abs(plot.y((b.from_mm + b.to_mm) / 2) - y) < 9 ? [] : [text(f.sx + 22, plot.y((b.from_mm + b.to_mm) / 2) + 5, b.letter, i < at - 1 ? 'scale-strong' : 'scale-label')]),
      nose(f.sx - SWOLLEN / 2 - 3, y), ground(f.sx - SWOLLEN / 2, f.width, y),
      ...numeral(column(f), Math.min(y, bed - 6), num(high, 1, true), 'mm', {to: f.right, most: 60, above: [left(s), below(s, d)].filter(Boolean).join(', ')}),
    ];
  },
};
