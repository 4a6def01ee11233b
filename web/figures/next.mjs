// The next piece before it is printed: between which values what is looked for is believed to lie, in a sleeve on the
// strand, and below it the piece itself, true to scale both ways.

import {t} from '../texts.mjs';
import {el} from '../el.mjs';
import {numeral} from './numeral.mjs';
import {OVER, described, drawingOf, foot, posts, signs, widths} from './piece.mjs';
import {SWELL, SWOLLEN, px, strand, swelling, text} from './pen.mjs';
import {known, num} from './words.mjs';

const LOW = 14; // px under the foot, for its arrow
const MOST = 120; // px that a piece may be high

/** The interval as a number, with its unit. @param {any} v */
const told = (v) => !known(v.low) || !known(v.high) ? {number: t('none'), unit: ''} : {number: v.low === v.high ? num(v.low) : t('next.to', {low: num(v.low), high: num(v.high)}), unit: String(v.unit ?? '').slice(0, 8)};

/** @param {any} v */
const aboutOf = (v) => t(v.confirming ? 'next.confirming' : v.ladder === 'travel' ? 'next.travel' : 'next.length');

/** The sleeve, upright: a frame with caps, the strand pale inside. @param {number} x @param {number} y0 @param {number} y1 @returns {Node_[]} */
const sleeve = (x, y0, y1) => [el('rect', {class: 'pale', x: x - 13, y: px(y0), width: 26, height: px(y1 - y0)}),
  el('path', {class: 'stroke', d: `M${x - 18} ${px(y0)}V${px(y1)}M${x + 18} ${px(y0)}V${px(y1)}M${x - 23} ${px(y0)}H${x + 23}M${x - 23} ${px(y1)}H${x + 23}`})];

/** @param {Frame} f @param {Scene} s @returns {Node_[]} */
function draw(f, s) {
  const d = drawingOf(s.shown.drawing), {number, unit} = told(s.shown), x0 = f.col + (f.narrow ? 10 : 2), x1 = f.right - 2;
  const perMM = d ? Math.min((x1 - x0) / d.long_mm, MOST / (d.bands.at(-1)?.to_mm ?? 1)) : 0, high = d ? (d.bands.at(-1)?.to_mm ?? 0) * perMM : 0;
  const bed = f.height - LOW, top = bed - high, room = d ? top - OVER - 6 : f.height - 20, at = {x: (/** @type {number} */ mm) => x0 + mm * perMM, y: (/** @type {number} */ mm) => bed - mm * perMM};
  const y = Math.max(58, room - 30), small = room < 118;
  const first = d?.bands[0], last = d?.bands.at(-1), name = (/** @type {import('./piece.mjs').Band} */ b) => text(f.sx + 24, (at.y(b.from_mm) + at.y(b.to_mm)) / 2 + 5, b.letter, 'scale-label');
  return [
    ...strand(f.sx, 0, 4), ...swelling(f.sx, 4), ...strand(f.sx, 4 + SWELL, bed, {width: SWOLLEN}), ...sleeve(f.sx, y - (small ? 24 : 46), y + (small ? 4 : 10)),
    ...numeral(f.col, y, number, unit, {to: f.right, most: small ? 40 : 60, below: aboutOf(s.shown), lines: 1, hollow: number === t('none')}),
    ...(d && first && last ? [...posts(d, at, d.foot_mm, last.to_mm), ...foot(d, at, at.y(d.foot_mm), bed), ...signs(d, at, d.bands, true), ...widths(d, at, top, f.right), name(first), name(last)] : []),
  ];
}

/** @type {Figure} */
export const next = {
  place: 'between', strand: 'carries', least: 204, most: 300,
  title: () => t('next.title'),
  desc: (s) => `${told(s.shown).number} ${told(s.shown).unit}, ${aboutOf(s.shown)}. ${described(drawingOf(s.shown.drawing))}`,
  draw,
};
