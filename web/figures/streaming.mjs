// A program on its way: the swollen strand is the whole of it, to scale. As far as the lines have gone it is there, cut
// where the present is; what is to come is dashes. Nothing moves but the cut.

import {about, count, t} from '../texts.mjs';
import {dashes} from './marks.mjs';
import {numeral} from './numeral.mjs';
import {el} from '../el.mjs';
import {SWELL, SWOLLEN, ground, px, strand, swelling} from './pen.mjs';
import {column} from './scale.mjs';
import {between, known} from './words.mjs';

const UNDER = 42; // px under the end, for the words that hang below the number there
const MOST = 1e7; // lines; more is a fault of somebody

/** How many lines of how many, and the part of the whole. @param {any} lines @param {any} of */
export function far(lines, of) {
  const all = known(of) ? between(of, 0, MOST) : 0, gone = known(lines) ? between(lines, 0, all) : 0;
  return {all, gone, part: all > 0 ? gone / all : 0};
}

/** @param {Scene} s */
const farOf = (s) => far(s.run?.doing?.lines ?? 0, s.run?.doing?.of_lines); // a number of 0 is left out

/** @param {Scene} s */
function left(s) {
  const leftS = s.run?.doing?.left_s ?? 0;
  return leftS > 0 && leftS < MOST ? t('stream.left', {left: about(leftS)}) : '';
}

/** A tenth of the whole each, half of it longer. @param {number} x @param {number} y0 @param {number} y1 */
const tenths = (x, y0, y1) => Array.from({length: 11}, (_, i) => el('line', {class: i % 5 === 0 ? 'tick-label' : 'tick', x1: x, x2: x + (i % 5 === 0 ? 14 : 7),
  y1: px(y0 + (y1 - y0) * i / 10), y2: px(y0 + (y1 - y0) * i / 10)}));

/** @param {number} x where it ends @param {number} y */
const nose = (x, y) => el('path', {class: 'ink', d: `M0 ${px(y - 9)}H${px(Math.max(0, x - 9))}L${px(x)} ${px(y)}L${px(Math.max(0, x - 9))} ${px(y + 9)}H0Z`});

/** @type {Figure} */
export const streaming = {
  place: 'beside', strand: 'carries', least: 236, most: 470,
  inset: column,
  title: () => t('stream.title'),
  desc: (s) => { const {all, gone} = farOf(s); return t('stream.desc', {lines: count(gone), of: count(all), left: left(s)}).trim(); },
  draw(f, s) {
    const {all, gone, part} = farOf(s), most = f.height >= 300 ? 84 : 60;
    const y0 = most + 32, y1 = f.height - UNDER, y = y0 + part * (y1 - y0);
    const body = y - y0 > SWOLLEN / 2 ? strand(f.sx, y0, y, {width: SWOLLEN, cut: true}) : strand(f.sx, y0, y, {width: SWOLLEN});
    return /** @type {Node_[]} */ ([
      ...strand(f.sx, 0, y0 - SWELL), ...swelling(f.sx, y0 - SWELL), ...body,
      ...dashes(f.sx, y + 22, y1), y1 - y < SWOLLEN ? null : el('line', {class: 'step-to-come', x1: f.sx - SWOLLEN / 2, x2: f.sx + SWOLLEN / 2, y1: px(y1), y2: px(y1)}),
      ...tenths(f.sx + SWOLLEN / 2 + 3, y0, y1),
      nose(f.sx - SWOLLEN / 2 - 3, y), ground(f.sx + SWOLLEN / 2, f.width, y),
      ...numeral(column(f), y, count(gone), t('stream.lines'), {to: f.right, most, above: left(s), below: t('stream.of', {of: count(all)}), lines: 1}),
    ].filter(Boolean));
  },
};
