// Taking up the play: gear and idler on the strand, the number on the gear's axis, and nothing of it counts.

import {t} from '../texts.mjs';
import {axis, gears, radius} from './gears.mjs';
import {flecks} from './marks.mjs';
import {mouth} from './mouth.mjs';
import {numeral} from './numeral.mjs';
import {SWELL, SWOLLEN, ground, strand, swelling} from './pen.mjs';
import {between, known, num} from './words.mjs';

/** @typedef {import('./figure.mjs').Frame} Frame */
/** @typedef {import('./figure.mjs').Scene} Scene */

const PER_MM = 2.75, FOOT = 46;

/**
 * True while the play is taken up: what is fed is not the length that the run was ordered to feed.
 * @param {Scene} s
 */
export function isPlay(s) {
  const of = s.run?.doing?.of_mm, ordered = s.run?.inputs?.commanded_mm;
  return known(of) && known(ordered) && of !== ordered;
}

/** @param {Scene} s */
export const playDesc = (s) => t('play.desc', {fed: num(s.run?.doing?.fed_mm, 1), of: num(s.run?.doing?.of_mm)});

/** @param {Frame} f @param {Scene} s */
export function drawPlay(f, s) {
  const fed = s.run?.doing?.fed_mm ?? 0, inlet = f.height - FOOT;
  const y = Math.round(Math.min(inlet - 60, f.height * 0.56)), r = radius(f, (inlet - SWELL) / 2 - 4);
  const travelled = f.still || !known(fed) ? 0 : between(fed, 0, 99999) * PER_MM;
  const x = axis(f, r) + r + 4;
  return [
    ...swelling(f.sx, 0), ...strand(f.sx, SWELL, f.height - 2, {width: SWOLLEN}), ...flecks(f.sx, SWOLLEN, SWELL + 8, f.height - 2, travelled),
    ...mouth(f, inlet, FOOT - 2), ...gears(f, y, r, travelled),
    ground(x, f.width, y),
    ...numeral(x + 20, y, num(fed, 1, true), 'mm', {to: f.right, below: t('play.of', {of: num(s.run?.doing?.of_mm)})}),
  ];
}
