// Before a cold feed: gear and idler, and nothing below them that cold filament could run into.

import {t} from '../texts.mjs';
import {axis, gears, radius} from './gears.mjs';
import {dashes} from './marks.mjs';
import {cup} from './nozzle.mjs';
import {numeral} from './numeral.mjs';
import {SWELL, SWOLLEN, ground, px, strand, swelling} from './pen.mjs';
import {el} from '../el.mjs';
import {known, num} from './words.mjs';

const CUP = 34;

/** What will come out, mm. @param {Scene} s */
const outMM = (s) => known(s.shown.commanded_mm) ? Math.ceil(s.shown.commanded_mm + (known(s.shown.pre_feed_mm) ? s.shown.pre_feed_mm : 0)) : NaN;

/** @type {Figure} */
export const path = {
  place: 'between', strand: 'carries', least: 176, most: 300,
  title: () => t('path.title'),
  desc: (s) => t('path.desc', {out: num(outMM(s))}),
  draw(f, s) {
    const rim = f.height - CUP - 6, y = Math.round(Math.min(rim - 76, f.height * 0.42)), r = radius(f, Math.min(46, y - SWELL)), x = axis(f, r) + r + 4, end = y + r + 6;
    return [
      ...swelling(f.sx, 0), ...strand(f.sx, SWELL, end, {width: SWOLLEN}), el('line', {class: 'm-cut', x1: f.sx - SWOLLEN / 2, x2: f.sx + SWOLLEN / 2, y1: px(end), y2: px(end)}),
      ...dashes(f.sx, end + 8, rim - 2), ...gears(f, y, r, 0), cup(f, rim, CUP),
      ground(x, f.width, y), ...numeral(x + 20, y, num(outMM(s)), 'mm', {to: f.right, most: y > 84 ? 84 : 52, below: t('path.below'), lines: 3}),
    ];
  },
};
