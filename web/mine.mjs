// What this person measures with. It is said once and kept on this phone; every page that asks for a gauge begins with it.

import {bodyOf, usual} from './form.mjs';

/** @typedef {{gauge?: string, across?: string, rule_class?: string, own_division_mm?: number, own_limit_mm?: number, rule_mm?: Record<string, number>}} Mine  across: the gauge where no rule serves; rule_mm: by gauge, since a caliper is not as long as a rule */

const SLOT = 'fettle my gauge', OWN = 'own';
const MINE = /** @type {const} */ (['gauge', 'rule_class', 'own_division_mm', 'own_limit_mm']);

/** @returns {Mine} */
function kept() {
  try { return JSON.parse(localStorage.getItem(SLOT) ?? '{}') ?? {}; } catch { return {}; }
}

/** True for what has a class printed on it. @param {string} gauge */
const isRule = (gauge) => /(^|_)rule$/.test(gauge);

/** A filament's width is read with no rule: the gauge for that is remembered by itself. @param {Field|undefined} f */
const takesRule = (f) => f?.choices?.some((c) => isRule(c.value)) ?? false;

/** Which gauge is meant: the one typed, else mine where it is offered, else the usual one. @param {Field[]} fields @param {Record<string, string>} [values] as typed */
export function gaugeOf(fields, values = {}) {
  const field = fields.find((f) => f.name === 'gauge');
  return values.gauge ?? (field ? usual(mine(field, kept(), '')) : '');
}

/** @param {Field} f @param {Mine} my @param {string} gauge @returns {Field} */
function mine(f, my, gauge) {
  const value = f.name === 'rule_mm' ? my.rule_mm?.[gauge] : f.name === 'gauge' && !takesRule(f) ? my.across ?? my.gauge : my[/** @type {typeof MINE[number]} */ (MINE.find((n) => n === f.name))];
  const offered = value !== undefined && (f.kind !== 'choice' || f.choices?.some((c) => c.value === value));
  return offered ? {...f, default: value} : f;
}

/**
 * The fields of a routine with this person's gauge, its class, its length and what it is by its owner as what they hold
 * until somebody says otherwise. What is not offered here is left as it is.
 * @param {Field[]} fields @param {Record<string, string>} [values] as typed: a gauge that is chosen meanwhile has its own length
 * @returns {Field[]}
 */
export function mineOf(fields, values = {}) {
  const my = kept(), gauge = gaugeOf(fields, values);
  return fields.map((f) => mine(f, my, gauge)).filter((f) => fits(f, gauge));
}

/** What describes a gauge of one's own is asked for with that alone, and a class with a rule. @param {Field} f @param {string} gauge */
const fits = (f, gauge) => f.name.startsWith('own_') ? gauge === OWN : f.name !== 'rule_class' || isRule(gauge);

/** What a run is begun with: what was typed, else what is mine, else the usual. @param {Field[]} fields @param {Record<string, string>} values as typed */
export const inputsOf = (fields, values) => bodyOf(mineOf(fields, values), values);

/** Keeps what a run was begun with, as far as it is about the gauge. @param {Field[]} fields @param {Record<string, any>} inputs as inputsOf has them */
export function keepMine(fields, inputs) {
  if (!inputs.gauge) return;
  const my = kept(), across = !takesRule(fields.find((f) => f.name === 'gauge')), said = Object.fromEntries(MINE.filter((n) => inputs[n] !== undefined).map((n) => [n, inputs[n]]));
  const rule = inputs.rule_mm === undefined ? my.rule_mm : {...my.rule_mm, [inputs.gauge]: inputs.rule_mm};
  try { localStorage.setItem(SLOT, JSON.stringify({...my, ...said, ...(across ? {gauge: my.gauge, across: inputs.gauge} : {}), rule_mm: rule})); } catch { /* it is asked for again */ }
}
