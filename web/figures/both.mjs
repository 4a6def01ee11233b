// The docket and the printer say two numbers: both on one rule, each with its owner's name.

import {t} from '../texts.mjs';
import {OVER, UNDER, rule} from './rule.mjs';
import {known, num} from './words.mjs';

/** @param {Scene} s @returns {import('./rule.mjs').Ring[]} */
const rings = (s) => [{value: s.shown.printer, name: t('both.printer'), kind: /** @type {const} */ ('solid')}, {value: s.shown.docket, name: t('both.docket'), kind: /** @type {const} */ ('solid'), strong: true}]
  .filter((r) => known(r.value) && Math.abs(r.value) < 1e6);

/** @type {Figure} */
export const both = {
  place: 'between', strand: 'turns', least: OVER + UNDER + 24, most: 190,
  title: () => t('both.title'),
  desc: (s) => rings(s).map((r) => `${r.name} ${num(r.value)}`).join(', ') || t('both.title'),
  draw: (f, s) => rule(f, f.height - UNDER, {rings: rings(s), sleeve: null, decimals: 2}),
};
