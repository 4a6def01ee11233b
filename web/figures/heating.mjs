// Heating: degrees pass a pointer that stays. The target is a ring on the strand, held at its end while out of sight.

import {t} from '../texts.mjs';
import {arrow} from './marks.mjs';
import {numeral} from './numeral.mjs';
import {SWELL, SWOLLEN, px, ring, text} from './pen.mjs';
import {column, now, passing} from './scale.mjs';
import {known, num} from './words.mjs';

/** @typedef {import('./figure.mjs').Figure} Figure */
/** @typedef {import('./figure.mjs').Frame} Frame */
/** @typedef {import('./figure.mjs').Scene} Scene */

const PER_C = 2.5; // px

/** A target of 0 is a heater that is off, and no target. @param {Scene} s */
const targetOf = (s) => (s.run?.doing?.target_c ?? s.printer?.nozzle?.target_c) || undefined;

/** The target's ring, or where it would be. @param {Frame} f @param {any} target @param {number} y @param {number} foot */
function targetRing(f, target, y, foot) {
  const top = SWELL + 12, low = foot - 10, x = f.sx + SWOLLEN / 2;
  const held = y < top ? top : y > low ? low : y, away = held !== y;
  return [
    ...ring(f.sx, held, {width: SWOLLEN, kind: away ? 'dashed' : 'solid'}),
    text(x + 21, held + 5, num(target, 0), 'scale-strong'),
    ...(away ? [arrow(x + 10, px(held + (y < top ? -7 : 7)), y < top ? -90 : 90)] : []),
  ];
}

/** @param {Frame} f @param {Scene} s @param {any} target @param {string} [below] */
function draw(f, s, target, below) {
  const read = known(s.nozzleC), foot = f.height - 8, y = Math.round(f.height * 0.68), there = known(target);
  const on = passing(f, {now: s.nozzleC, y, perUnit: PER_C, foot, tick: 2, long: 10, label: 10,
    skip: (v) => there && (Math.abs(v - target) < 7 || near(v, target, y, s.nozzleC))});
  return [
    ...on.nodes,
    ...(there ? targetRing(f, target, read ? on.at(target) : -1, foot) : []),
    ...(read ? now(f, y) : []),
    ...numeral(column(f), y, read ? num(s.nozzleC, 0) : t('none'), read ? '°C' : '',
      {to: f.right, hollow: !read || Boolean(s.printer?.nozzle?.outdated), below: read ? below : t('heating.unread')}),
  ];
}

/** @type {Figure} */
export const heating = {
  place: 'beside', strand: 'carries', least: 216, most: 470,
  inset: column,
  title: () => t('heating.title'),
  desc: (s) => known(s.nozzleC) ? t('heating.desc', {c: num(s.nozzleC, 0), target: num(targetOf(s), 0)}) : t('heating.desc2', {target: num(targetOf(s), 0)}),
  draw: (f, s) => draw(f, s, targetOf(s), known(targetOf(s)) ? t('heating.of', {target: num(targetOf(s), 0)}) : undefined),
};

/** From here down it may be touched; common practice, no source. */
const TOUCH_C = 50;

/** Cooling: the same, and what the ring stands at is where it no longer burns. @type {Figure} */
export const cooling = {
  place: 'beside', strand: 'carries', least: 216, most: 470,
  inset: column,
  title: () => t('cooling.title'),
  desc: (s) => known(s.nozzleC) ? t('cooling.desc', {c: num(s.nozzleC, 0)}) : t('hands.desc2'),
  draw: (f, s) => draw(f, s, TOUCH_C, t('cooling.below')),
};

/** Whether a label would touch the held ring's own. @param {number} v @param {number} target @param {number} y @param {number} nowC */
function near(v, target, y, nowC) {
  const at = (/** @type {number} */ c) => y - (c - nowC) * PER_C;
  return at(target) < SWELL + 12 && at(v) < SWELL + 34;
}
