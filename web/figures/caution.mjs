// The cautions before heat and motion, one point a page. Each is known by what it says, so that their order and number
// may change; one that is new is shown by its words alone.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {axis, gears, radius} from './gears.mjs';
import {liner} from './liner.mjs';
import {manual} from './manual.mjs';
import {dashes, tip} from './marks.mjs';
import {nozzle} from './nozzle.mjs';
import {notes, numeral} from './numeral.mjs';
import {SWELL, SWOLLEN, ground, heat, section, strand, swelling} from './pen.mjs';
import {plan} from './plan.mjs';
import {mainsPlug} from './plug.mjs';
import {stay, windowOpen} from './room.mjs';
import {known, num} from './words.mjs';

/** @typedef {'stay'|'nozzle'|'switch'|'smoke'|'hands'|'vapour'|'liner'|'notice'|'bed'|'words'} Point */

/** @type {ReadonlyArray<readonly [RegExp, Point]>} */
const POINTS = [
  [/\bin the room\b/, 'stay'], [/nozzle burns/, 'nozzle'], [/own switch|request sent/, 'switch'], [/\bliner\b/, 'liner'],
  [/smoke|burnt smell/i, 'smoke'], [/\bhands\b/, 'hands'], [/vapour|window/, 'vapour'], [/safety device|manual/, 'notice'], [/\bbed is hot\b/, 'bed'],
];

/** What a warning is about. @param {string|undefined} words @returns {Point} */
export const pointOf = (words) => POINTS.find(([about]) => words !== undefined && about.test(words))?.[1] ?? 'words';

/** The point that is shown. @param {Scene} s @returns {string|undefined} */
const saying = (s) => s.shown.point ?? s.question?.warning?.[s.step];

/** The degrees that a warning names. @param {string|undefined} words */
const celsiusIn = (words) => Number(/(\d+)\s*°C/.exec(words ?? '')?.[1] ?? NaN);

/** @param {Frame} f @param {Scene} s */
function burns(f, s) {
  const y = Math.round(Math.min(f.height - 62, Math.max(112, f.height * 0.6))), c = celsiusIn(saying(s));
  return [...nozzle(f, y), ground(f.sx + 9, f.width, y), ...dashes(f.sx, y + 44, f.height),
    ...(known(c) ? numeral(f.sx + 74, y, num(c, 0), '°C', {to: f.right, most: y > 110 ? 84 : 60, below: t('point.hot')}) : [])];
}

/** @param {Frame} f */
function pinches(f) {
  const r = radius(f, f.height / 2 - SWELL / 2 - 10), y = Math.round((f.height + SWELL) / 2) - 6, x = axis(f, r) + r + 22;
  return [...swelling(f.sx, 0), ...strand(f.sx, SWELL, f.height - 2, {width: SWOLLEN}), ...gears(f, y, r, 0),
    ground(x - 18, x - 6, y), ...notes(x, y + 5, t('point.pinch'), f.right, 3)];
}

/** A piece on its bed, and heat in the bed. @param {Frame} f */
function hotBed(f) {
  const y = Math.round(f.height * 0.6), x = f.col + 10, right = f.right - 10, mid = (x + right) / 2;
  return [el('rect', {class: 'm-dot', x: mid - 45, y: y - 64, width: 90, height: 64}), ...section(`M${x} ${y}H${right}V${y + 16}H${x}Z`, true), ...[-60, 0, 60].flatMap((by) => heat(mid + by, y + 30))];
}

/** @param {Frame} f @param {Scene} s @returns {Node_[]} */
function draw(f, s) {
  const apart = tip(f.sx, 10, f.height); // the drawing is not the strand: it ends, and dashes go on beside
  switch (pointOf(saying(s))) {
    case 'stay': return [...apart, ...stay(f)];
    case 'nozzle': return burns(f, s);
    case 'switch': return [...apart, ...plan(f, String(s.shown.switch ?? ''), null)];
    case 'smoke': return [...apart, ...mainsPlug(f)];
    case 'hands': return pinches(f);
    case 'vapour': return [...apart, ...windowOpen(f)];
    case 'liner': return liner(f, celsiusIn(saying(s)), Math.round(Math.min(f.height - 62, Math.max(112, f.height * 0.6))));
    case 'bed': return [...apart, ...hotBed(f)];
    case 'notice': return [...apart, ...manual(f)];
  }
  return apart;
}

/** @type {Figure} */
export const caution = {
  place: 'between', strand: 'carries', least: 176, most: 260,
  title: (s) => t(`point.${pointOf(saying(s))}`),
  desc: (s) => saying(s) ?? t('point.words'),
  draw,
};
