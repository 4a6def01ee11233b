// How wide words are before any browser has laid them out, so that a figure wraps and shrinks by itself. Pure.
// The guess is as wide as the widest of the usual system fonts: words may end early, and never outside.

import {t} from '../texts.mjs';

/** Advance of a character as a part of the font's size. @param {string} c */
function advance(c) {
  if (/[0-9]/.test(c)) return 0.64;
  if (/[ .,:;'’!|iljI\u00a0\u202f]/.test(c)) return 0.34;
  if (/[mwMW@%±×°]/.test(c)) return 0.9;
  return /[A-Z]/.test(c) ? 0.7 : 0.61;
}

/** Width in px of words set in `size` px. @param {string} words @param {number} size @param {boolean} [bold] */
export function widthOf(words, size, bold = false) {
  let parts = 0;
  for (const c of words) parts += advance(c);
  return parts * size * (bold ? 1.1 : 1);
}

/** Words in lines no wider than `width`; a word that is wider stands alone. @param {string} words @param {number} width @param {number} size */
export function wrap(words, width, size) {
  /** @type {string[]} */
  const lines = [];
  for (const word of words.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && widthOf(`${last} ${word}`, size) <= width) lines[lines.length - 1] = `${last} ${word}`;
    else if (word !== '') lines.push(word);
  }
  return lines;
}

/** Words cut so that they stay within `width`, with the sign that they go on. @param {string} words @param {number} width @param {number} size */
export function cut(words, width, size) {
  if (widthOf(words, size) <= width) return words;
  let n = words.length;
  while (n > 0 && widthOf(`${words.slice(0, n)}…`, size) > width) n--;
  return n > 0 ? `${words.slice(0, n).trimEnd()}…` : '';
}

const MOST = 99999; // five digits: more is a fault of somebody, and is said to be more

/** True for a number that can be drawn. @param {any} x @returns {x is number} */
export const known = (x) => typeof x === 'number' && Number.isFinite(x);

/**
 * A number as it is shown, with so many decimals at most; "none" where there is no number.
 * @param {any} x @param {number} [decimals] @param {boolean} [fixed]  keeps noughts at its end
 */
export function num(x, decimals = 2, fixed = false) {
  if (!known(x)) return t('none');
  if (Math.abs(x) > MOST) return x < 0 ? `< −${MOST}` : `> ${MOST}`;
  const text = fixed ? x.toFixed(decimals) : String(Number(x.toFixed(decimals)));
  return text.replace(/^-(?=0(\.0*)?$)/, '').replace('-', '−');
}

/** How many decimals show two leading digits of an expanded uncertainty. @param {number} u */
export const decimalsOf = (u) => Math.max(0, 1 - Math.floor(Math.log10(Math.max(u, 0.001))));

/** An expanded uncertainty with its two leading digits (JCGM 100:2008, 7.2.6). @param {number} u */
export const plusMinus = (u) => `±\u00a0${num(u, decimalsOf(u), true)}`;

/** A value to the last digit of its ±, and no further (the same, 7.2.6). @param {number} v @param {number|undefined} u @param {number} [otherwise] decimals where there is no ± */
export const toItsDigit = (v, u, otherwise = 2) => known(u) && u > 0 ? num(v, decimalsOf(u), true) : num(v, otherwise);

/** @param {number} x @param {number} low @param {number} high */
export const between = (x, low, high) => Math.min(Math.max(x, low), high);
