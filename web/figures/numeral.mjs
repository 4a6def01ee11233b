// The large number on its line, as large as its place allows, and what it is measured against below it.

import {el} from '../el.mjs';
import {text} from './pen.mjs';
import {widthOf, wrap} from './words.mjs';

/** Sizes in px that a measured number may have, each with its class. */
const SIZES = /** @type {const} */ ([84, 68, 60, 52, 40, 28]);
export const UNIT = 22, NOTE = 16, LEADING = 22;

/**
 * The largest size at which number and unit stay within `width`.
 * @param {string} number @param {string} unit @param {number} width @param {number} [most]
 */
export function sizeFor(number, unit, width, most = 84) {
  const rest = unit ? widthOf(unit, UNIT) + 6 : 0;
  return SIZES.find((s) => s <= most && widthOf(number, s) * 0.97 + rest <= width) ?? 28;
}

/**
 * Number and unit with their feet 9 px over y. It ends before `to`.
 * @param {number} x @param {number} y @param {string} number @param {string} unit
 * @param {{to: number, most?: number, hollow?: boolean, above?: string, below?: string, lines?: number}} o @returns {Node_[]}
 */
export function numeral(x, y, number, unit, o) {
  const size = sizeFor(number, unit, o.to - x, o.most);
  return [
    ...(o.above ? notes(x, y - 9 - size * 0.78 - 12, o.above, o.to, 1) : []),
    el('text', {x, y: y - 9}, el('tspan', {class: `big s${size}${o.hollow ? ' hollow' : ''}`}, number),
      unit ? el('tspan', {class: 'big-unit', dx: 6}, unit) : null),
    ...(o.below ? notes(x, y + 24, o.below, o.to, o.lines ?? 2) : []),
  ];
}

/**
 * Words in the second ink, wrapped before `to`, y the first baseline; what has no room is owned up to by its sign.
 * @param {number} x @param {number} y @param {string} words @param {number} to @param {number} [most] lines @param {string} [cls] @returns {Node_[]}
 */
export function notes(x, y, words, to, most = 3, cls = 'fig-note') {
  const lines = wrap(words, to - x, NOTE), shown = lines.slice(0, most);
  if (lines.length > most) shown[most - 1] = `${shown[most - 1]}…`;
  return shown.map((line, i) => text(x, y + LEADING * i, line, cls));
}
