// Before something moves: air under the nozzle and a cup to catch the strand; hands away from what moves and burns.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {dashes} from './marks.mjs';
import {NOZZLE, cup, nozzle, outer} from './nozzle.mjs';
import {notes, numeral} from './numeral.mjs';
import {dimension, ground, px} from './pen.mjs';
import {known, num} from './words.mjs';

const CUP = 36;

/** Where numbers stand beside the nozzle. @param {Frame} f */
const beside = (f) => f.sx + outer(f) + 22;

/** Tip, rim and foot of the drawing. @param {Frame} f @param {number} below px for the words under the rim's line */
function lie(f, below) {
  const rim = f.height - Math.max(CUP + 8, below), tip = Math.max(NOZZLE, Math.min(rim - 78, rim * 0.55));
  return {tip, rim};
}

/** @type {Figure} */
export const air = {
  place: 'between', strand: 'carries', least: 216, most: 300,
  title: () => t('air.title'),
  desc: (s) => t('air.desc', {air: num(s.shown.air_mm), fed: num(s.shown.commanded_mm)}),
  draw(f, s) {
    const {tip, rim} = lie(f, 56), x = beside(f);
    return [
      ...nozzle(f, tip), cup(f, rim, CUP),
      ground(f.sx + 9, f.width, tip), dimension(x, tip + 2, rim - 2), ground(f.sx + outer(f) + 4, f.width, rim),
      ...numeral(x + 22, rim, num(s.shown.air_mm), 'mm', {to: f.right, most: rim - tip > 104 ? 84 : 60,
        below: t('air.below', {fed: num(s.shown.commanded_mm)})}),
    ];
  },
};

/** The newest reading, or a word in its place. @param {number} c */
const heatOf = (c) => known(c) ? {number: num(c, 0), unit: '°C'} : {number: t('none'), unit: ''};

/** @type {Figure} */
export const handsAway = {
  place: 'between', strand: 'carries', least: 200, most: 300,
  title: () => t('hands.title'),
  desc: (s) => known(s.nozzleC) ? t('hands.desc', {c: num(s.nozzleC, 0)}) : t('hands.desc2'),
  draw(f, s) {
    const {tip, rim} = lie(f, 62), x = beside(f), heat = heatOf(s.nozzleC), old = Boolean(s.printer?.nozzle?.outdated) || !known(s.nozzleC);
    return [
      ...nozzle(f, tip, {waves: !(s.nozzleC < 50)}), cup(f, rim, CUP), ...dashes(f.sx, rim + CUP + 8, f.height),
      ground(f.sx + 9, f.width, tip),
      ...numeral(x + 22, tip, heat.number, heat.unit, {to: f.right, most: tip > 110 ? 84 : 60, hollow: old,
        below: known(s.nozzleC) ? t('hands.heat') : t('hands.unread')}),
      el('path', {class: 'keep-out', d: `M${px(x)} ${px(tip + 10)}V${px(f.height - 4)}`}),
      ...notes(x + 22, Math.max(rim + 6, tip + 76), t('hands.below'), f.right, 2, 'fig-text'),
    ];
  },
};
