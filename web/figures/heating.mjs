// Heating: degrees pass a pointer that stays. The target is a ring on the strand, held at its end while out of sight.

import {t} from '../texts.mjs';
import {arrow} from './marks.mjs';
import {numeral} from './numeral.mjs';
import {SWELL, SWOLLEN, px, ring, text} from './pen.mjs';
import {column, now, passing} from './scale.mjs';
import {between, known, num} from './words.mjs';

const PER_C = 2.5; // px

/** A target of 0 is a heater that is off, and no target. @param {Scene} s */
const targetOf = (s) => (s.run?.doing?.target_c ?? s.printer?.nozzle?.target_c) || undefined;

/** Where the target's ring stands: at its degree, or held at the end of the strand beyond which it is. @param {number} y @param {number} foot */
const hold = (y, foot) => between(y, SWELL + 12, foot - 10);

/** @param {Frame} f @param {number} target @param {number} y its own place @param {number} foot @param {number} nowY */
function targetRing(f, target, y, foot, nowY) {
  const held = hold(y, foot), away = held !== y, x = f.sx + SWOLLEN / 2;
  return [
    ...ring(f.sx, held, {width: SWOLLEN, kind: away ? 'dashed' : 'solid'}),
    ...(Math.abs(held - nowY) < 14 ? [] : [text(x + 21, held + 5, num(target, 0), 'scale-strong')]),
    ...(away ? [arrow(x + 10, px(held + (y < held ? -7 : 7)), y < held ? -90 : 90)] : []),
  ];
}

/** @param {Frame} f @param {Scene} s @param {any} target @param {string} [below] */
function draw(f, s, target, below) {
  const read = known(s.nozzleC), foot = f.height - 8, y = Math.round(f.height * 0.68), there = known(target);
  const at = (/** @type {number} */ c) => y - (c - s.nozzleC) * PER_C, ringY = read ? at(target) : -1;
  const on = passing(f, {now: s.nozzleC, y, perUnit: PER_C, foot, tick: 2, long: 10, label: 10, top: there && hold(ringY, foot) > ringY ? SWELL + 24 : undefined,
    skip: (v) => there && Math.abs(at(v) - hold(ringY, foot)) < 17});
  return [
    ...on.nodes,
    ...(there ? targetRing(f, target, ringY, foot, read ? y : -99) : []),
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

/** The bed on its way: the same, of another heater. @type {Figure} */
export const bed = {...heating,
  title: () => t('heatingBed.title'),
  draw: (f, s) => draw(f, s, targetOf(s), known(targetOf(s)) ? t('heatingBed.of', {target: num(targetOf(s), 0)}) : undefined),
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
