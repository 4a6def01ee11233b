// The liner in section: a tube between strand and wall that reaches the heated part, and the most it may be told.

import {el} from '../el.mjs';
import {SWELL, ground, px} from './pen.mjs';
import {nozzle} from './nozzle.mjs';
import {numeral} from './numeral.mjs';
import {t} from '../texts.mjs';
import {num} from './words.mjs';

/** @param {Frame} f @param {number} capC @param {number} y the tip */
export function liner(f, capC, y) {
  const top = SWELL - 2, low = y - 46;
  const wall = (/** @type {number} */ x) => el('rect', {class: 'ink', x, y: px(top), width: 5, height: px(Math.max(8, low - top))});
  return [
    ...nozzle(f, y), wall(f.sx - 19), wall(f.sx + 14),
    ground(f.sx + 9, f.width, y),
    ...numeral(f.sx + 74, y, num(capC, 0), '°C', {to: f.right, most: y > 110 ? 84 : 60, below: t('point.liner.below')}),
  ];
}
