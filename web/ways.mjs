// The ways to measure a feed, and the order that each has: what a person does, and what the machine does, step by step. Pure.

import {capital, t} from './texts.mjs';

/** Asked or done, in order, as runs name it. 'heat', 'pre-feed', 'feed' and 'cool' are the machine's; the others a person's. */
const ORDER = /** @type {const} */ ({
  inlet: ['air', 'present', 'heat', 'pre-feed', 'mark', 'feed', 'leftover', 'finding'],
  two_flags: ['air', 'flags', 'present', 'heat', 'pre-feed', 'near flag', 'feed', 'far flag', 'finding'],
  several_lengths: ['air', 'present', 'heat', 'pre-feed', 'mark', 'feeds', 'finding'],
  cold: ['path', 'present', 'pre-feed', 'mark', 'feed', 'leftover', 'finding'],
  tube_end: ['air', 'present', 'heat', 'unload', 'cool', 'coupler', 'pre-feed', 'cut', 'feed', 'piece', 'finding'],
});

/** @typedef {typeof ORDER[keyof typeof ORDER][number]} Step */

/** @param {string} method @returns {method is keyof typeof ORDER} */
const known = (method) => Object.hasOwn(ORDER, method);

/** The steps of a way; one that is not known goes like the usual one. @param {string|undefined} method @returns {readonly Step[]} */
export const wayOf = (method) => ORDER[method && known(method) ? method : 'inlet'];

/** What a way is called. @param {string} method @param {Field[]} fields of the routine, for a way that these pages do not know */
export const wordOf = (method, fields = []) => known(method) ? t(`ways.${method}`) : capital(fields.find((f) => f.name === 'method')?.choices?.find((c) => c.value === method)?.label ?? method.replace(/_/g, ' '));

/** The ways that fit what a printer is fitted with: cold filament comes out nowhere but at the gear, and a tube's end is where there is a tube. @param {Field[]} fields @param {Setup|undefined} setup */
export function waysIn(fields, setup) {
  const fits = (/** @type {string} */ m) => m === 'cold' ? setup?.drive === 'direct' : m !== 'tube_end' || (setup?.drive === 'bowden' && Boolean(setup.tube));
  return (fields.find((f) => f.name === 'method')?.choices ?? []).filter((c) => fits(c.value)).map((c) => ({value: c.value, label: wordOf(c.value, fields), good: known(c.value) ? t(`good.${c.value}`) : ''}));
}
