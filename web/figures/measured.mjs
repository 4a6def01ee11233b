// What a finding was drawn from, whether it is still a question or has ended. Where the printer does not tell its
// steps/mm, all is in factors of what it is; where the mark went in, only a least length is known.

import {t} from '../texts.mjs';
import {known, num, plusMinus} from './words.mjs';
import {about} from './rule.mjs';

/** @typedef {import('./rule.mjs').Ring} Ring */
/** @typedef {import('./rule.mjs').Sleeve} Sleeve */
/** @typedef {'change'|'leave'|'cannot_tell'} Form */
/** @typedef {{number: string, unit: string, plus: string, hollow: boolean, rings: Ring[], sleeve: Sleeve|null, decimals: number, fixed?: boolean}} Told */
/** @typedef {{old: any, next: any, u95: any, fed: any, commanded: any}} Numbers */

/** From the open question. @param {any} shown @returns {Numbers} */
const asked = (shown) => ({old: shown.old_steps_per_mm, next: shown.new_steps_per_mm, u95: shown.new_u95_steps_per_mm, fed: shown.fed_mm, commanded: shown.commanded_mm});

/** From what the run ended with: fed = commanded (1 + error / 100). @param {Scene} s @returns {Numbers} */
function ended(s) {
  const of = (/** @type {string} */ name) => s.run?.finding?.values?.find((v) => v.name === name);
  const fed = of('fed_mm'), off = of('error_percent')?.value, old = of('measured_with_steps_per_mm')?.value, written = of('steps_per_mm');
  const factor = known(off) && off > -100 ? 1 / (1 + off / 100) : NaN;
  const next = written?.value ?? (known(factor) ? (old ?? 1) * factor : undefined);
  const u95 = written?.u95 ?? (fed && known(fed.u95) && fed.value > 0 && known(next) ? next * fed.u95 / fed.value : undefined);
  return {old, next, u95, fed: fed?.value ?? of('fed_at_least_mm')?.value, commanded: s.run?.inputs?.commanded_mm};
}

/** @param {Scene} s @param {Form} form @returns {Told} */
export function told(s, form) {
  const n = s.question ? asked(s.shown) : ended(s);
  if (!known(n.next)) return atLeast(n);
  return known(n.old) ? inSteps(n, form) : inFactors(n, form);
}

/** @param {Numbers} n @param {Form} form @returns {Told} */
function inSteps(n, form) {
  const plus = known(n.u95) ? `${plusMinus(n.u95)} ${t('steps')}` : t('steps');
  const rings = ringsOf(n.old, n.next, form), sleeve = about(n.next, n.u95);
  const checked = known(n.u95) ? t('finding.checked', {plus: plusMinus(n.u95)}) : t('steps');
  return {number: num(form === 'leave' ? n.old : n.next, 2, true), unit: '', plus: form === 'leave' ? checked : plus, hollow: form === 'cannot_tell', rings, sleeve, decimals: 2, fixed: true};
}

/** @param {Numbers} n @param {Form} form @returns {Told} */
function inFactors(n, form) {
  const plus = known(n.u95) ? `${plusMinus(n.u95)} ${t('finding.factor')}` : t('finding.factor');
  const number = form === 'leave' ? '×\u00a01' : `×\u00a0${num(n.next, 4, true)}`;
  return {number, unit: '', plus, hollow: form === 'cannot_tell', rings: ringsOf(1, n.next, form), sleeve: about(n.next, n.u95), decimals: 4, fixed: true};
}

/** Old dashed and new solid; where nothing changes the old one stays solid; where nobody can tell the new one is hollow. @param {number} old @param {number} next @param {Form} form @returns {Ring[]} */
function ringsOf(old, next, form) {
  if (form === 'leave') return [{value: next, name: t('ring.measured'), kind: 'dashed'}, {value: old, name: t('ring.stays'), kind: 'solid', strong: true}];
  return [{value: old, name: t('ring.old'), kind: 'dashed'}, {value: next, name: t('ring.new'), kind: form === 'change' ? 'solid' : 'hollow', strong: true}];
}

/** The mark went in, or nothing was read. @param {Numbers} n @returns {Told} */
function atLeast(n) {
  const known_ = known(n.fed) && n.fed > 0;
  /** @type {Ring[]} */
  const rings = [{value: n.commanded, name: t('ring.asked'), kind: 'dashed'}];
  if (known_) rings.push({value: n.fed, name: t('ring.least'), kind: 'hollow', strong: true});
  return {number: known_ ? `>\u00a0${num(n.fed)}` : t('none'), unit: known_ ? 'mm' : '', plus: known_ ? t('finding.least') : t('finding.none'),
    hollow: true, rings, sleeve: known_ ? {low: n.fed, high: n.fed, open: true} : null, decimals: 2};
}
