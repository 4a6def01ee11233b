// How far a program came that stands still: the strand lies down and is the whole of it, cut where it stopped. The lines of
// which nobody knows whether they were obeyed stand in a sleeve: drawn wider than they are, or nobody would see them.

import {count, t} from '../texts.mjs';
import {el} from '../el.mjs';
import {RADIUS, layDown} from './bend.mjs';
import {notes, numeral} from './numeral.mjs';
import {px, text} from './pen.mjs';
import {sleeveAt} from './rule.mjs';
import {far} from './streaming.mjs';
import {between, known, widthOf} from './words.mjs';

const UNDER = 46, LEAST_SLEEVE = 16; // px

/** @param {Scene} s */
const unsureOf = (s) => known(s.shown.unsure) ? between(s.shown.unsure, 0, 99999) : 0;

/** @param {Scene} s */
const below = (s) => { const n = unsureOf(s), of = t('stream.of', {of: count(far(s.shown.lines, s.shown.of_lines).all)}); return n > 0 ? `${of}, ${t(n === 1 ? 'stream.unsure1' : 'stream.unsure', {n: count(n)})}` : of; };

/** 0 and the whole under the strand, with a tick each. @param {Frame} f @param {number} x0 @param {number} x1 @param {number} y @param {number} all */
export function ends(f, x0, x1, y, all) {
  const tick = (/** @type {number} */ x) => el('line', {class: 'tick-label', x1: px(x), x2: px(x), y1: px(y + 13), y2: px(y + 23)});
  return [tick(x0), tick(x1), text(x0, y + 40, '0', 'scale-label', 'middle'), text(Math.min(x1, f.width - 2 - widthOf(count(all), 15) / 2), y + 40, count(all), 'scale-label', 'middle')];
}

/** @type {Figure} */
export const soFar = {
  place: 'above', strand: 'turns', least: 168, most: 240,
  title: () => t('stream.sofar'),
  desc: (s) => t('stream.sofar2', {lines: count(far(s.shown.lines, s.shown.of_lines).gone), below: below(s)}),
  draw(f, s) {
    const {all, gone, part} = far(s.shown.lines, s.shown.of_lines), unsure = Math.min(gone, unsureOf(s));
    const y = f.height - UNDER, x0 = f.col + 4, x1 = f.right - 4, x = x0 + part * (x1 - x0), foot = y - 68;
    const low = Math.min(x0 + (all > 0 ? (gone - unsure) / all : 0) * (x1 - x0), x - LEAST_SLEEVE);
    return [
      ...numeral(f.col, foot, count(gone), t('stream.lines'), {to: f.right, most: foot >= 84 ? 84 : foot >= 68 ? 60 : 40}),
      ...notes(f.col, foot + 24, below(s), f.right, 2),
      ...layDown(f, y, Math.max(x, f.sx + RADIUS + 1)),
      ...(x1 - x > 22 ? [el('line', {class: 'fine-dashed', x1: px(x + 14), x2: px(x1), y1: px(y), y2: px(y)})] : []),
      el('line', {class: 'step-to-come', x1: px(x1), x2: px(x1), y1: px(y - 7), y2: px(y + 7)}),
      ...(unsure > 0 ? sleeveAt(f, (v) => v, {low, high: x + 4}, y) : []), ...ends(f, x0, x1, y, all),
    ];
  },
};
