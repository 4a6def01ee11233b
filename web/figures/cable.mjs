// What the cable check found: the strand lies down and is all the lines that were sent; each stroke across it is one that
// had to be sent again. Where they fell is not kept: they are drawn evenly.

import {count, t} from '../texts.mjs';
import {el} from '../el.mjs';
import {layDown} from './bend.mjs';
import {notes, numeral} from './numeral.mjs';
import {px} from './pen.mjs';
import {ends} from './sofar.mjs';
import {between, known, num} from './words.mjs';

const UNDER = 46, MOST_STROKES = 40;

/** @param {Scene} s @param {string} name */
const of = (s, name) => s.run?.finding?.values?.find((v) => v.name === name)?.value ?? s.shown[name];

/** What stands large, and what stands below it. @param {Scene} s */
export function toldOf(s) {
  const lines = of(s, 'lines'), again = of(s, 'sent_again'), rate = of(s, 'lines_per_s'), slowest = of(s, 'slowest_ms');
  const kind = s.run?.finding?.kind ?? s.shown.kind, all = known(lines) ? between(lines, 0, 1e7) : 0;
  const perS = known(rate) && rate >= 1000 && rate < 1e7 ? count(rate) : num(rate, rate < 10 ? 1 : 0);
  const pace = [known(rate) ? t('cable.rate', {n: perS}) : '', known(slowest) ? t('cable.slowest', {ms: num(slowest, 0)}) : ''].filter(Boolean).join(', ');
  const times = known(again) ? between(again, 0, 99999) : 0;
  if (kind === 'slow') return {number: perS, unit: t('cable.perS'), all, again: times,
    below: [t('cable.again', {n: count(times), of: count(all)}), known(slowest) ? t('cable.slowest', {ms: num(slowest, 0)}) : ''].filter(Boolean).join(', ')};
  return {number: count(times), unit: t(times === 1 ? 'cable.unit1' : 'cable.unit'), all, again: times, below: [t('cable.of', {of: count(all)}), pace].filter(Boolean).join(', ')};
}

/** Strokes across the strand, evenly: one a line, or more a stroke where there are too many. @param {number} again @param {number} x0 @param {number} x1 @param {number} y */
function strokes(again, x0, x1, y) {
  const n = Math.min(MOST_STROKES, Math.ceil(again));
  return Array.from({length: n}, (_, i) => {
    const x = px(x0 + (x1 - x0) * (i + 0.5) / n);
    return [el('rect', {class: 'halo', x: x - 2.5, y: px(y - 10), width: 5, height: 20}), el('rect', {class: 'ring', x: x - 1, y: px(y - 10), width: 2, height: 20})];
  }).flat();
}

/** @type {Figure} */
export const cable = {
  place: 'above', strand: 'turns', least: 184, most: 250,
  title: () => t('cable.title'),
  desc: (s) => { const it = toldOf(s); return `${it.number} ${it.unit}, ${it.below}.`; },
  draw(f, s) {
    const it = toldOf(s), y = f.height - UNDER, x0 = f.col + 4, x1 = f.right - 4, foot = y - 84;
    return [
      ...numeral(f.col, foot, it.number, it.unit, {to: f.right, most: foot >= 90 ? 84 : 52}),
      ...notes(f.col, foot + 24, it.below, f.right, 2),
      ...layDown(f, y), ...strokes(it.again, x0, x1, y), ...ends(f, x0, x1, y, it.all),
    ];
  },
};
