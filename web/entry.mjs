// A number as a person types it: comma and point alike, judged against the question's own limits and derived line. Pure.

import {decimalsOf} from './figures/words.mjs';

const DIGITS = 5, DECIMALS = 2, FINE = 3; // fine: of a gauge that reads less than 0.01

/** @param {string} text @returns {number|null} */
export function parseNumber(text) {
  const plain = text.trim().replace(',', '.');
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}

/** What is typed after one more key. A key that would make no number of it changes nothing. @param {string} text @param {string} key @param {number} [step] the least that can be read */
export function typed(text, key, step = 0.01) {
  if (key === 'back') return text.slice(0, -1);
  if (key === '.' || key === ',') return text.includes('.') ? text : `${text === '' ? '0' : text}.`;
  if (!/^\d$/.test(key)) return text;
  const decimals = text.split('.')[1] ?? '';
  if (decimals.length >= (step > 0 && step < 0.01 ? FINE : DECIMALS) || text.replace('.', '').length >= DIGITS) return text;
  return text === '0' ? key : text + key;
}

/**
 * Judges what is typed. impossible: over the field's upper limit, which its out_of explains; refused: below the lower one.
 * @param {string} text @param {Field|null} field @param {Derived} [derived] @returns {Draft}
 */
export function judge(text, field, derived) {
  const value = parseNumber(text);
  if (value === null) return {text, value, derived: null, verdict: 'empty'};
  const follows = derived ? tidy(derived.a + derived.b * value) : null;
  return {text, value, derived: follows, verdict: verdict(value, field, follows, derived)};
}

/** Drops the noise of binary fractions, far below what any gauge can tell. @param {number} x */
const tidy = (x) => Math.round(x * 1e6) / 1e6;

/** @param {number} v @param {Field|null} f @param {number|null} follows @param {Derived|undefined} d @returns {Draft['verdict']} */
function verdict(v, f, follows, d) {
  if (f?.max !== undefined && v > f.max) return 'impossible';
  if (f?.min !== undefined && v < f.min) return 'refused';
  if (d && follows !== null && (follows < d.unlikely[0] || follows > d.unlikely[1])) return 'unlikely';
  return 'fine';
}

/** An expanded uncertainty with two leading digits. @param {number} u */
export const plusMinus = (u) => u.toFixed(decimalsOf(u));
