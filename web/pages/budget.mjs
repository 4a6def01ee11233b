// What the plus-minus is made of: each part a length between rings, by its share of the squares, the largest first; and
// the same as numbers, for who does not see the drawing.

import {el} from '../el.mjs';
import {plusMinus} from '../entry.mjs';
import {num} from '../figures/words.mjs';
import {ofRun, scene} from '../page.mjs';
import {table} from '../table.mjs';
import {capital, t} from '../texts.mjs';
import {toLengths} from './after-check.mjs';

/** @param {Page} p @param {Run} run @returns {Sheet} */
export function budget(p, run) {
  const rows = [...(run.finding?.budget ?? [])].sort((a, b) => b.u - a.u);
  const sum = rows.reduce((s, r) => s + r.u * r.u, 0), k = factor(run.finding, sum), u95 = toldU95(run.finding) ?? k * Math.sqrt(sum);
  return {
    key: `${run.id}/budget`, ...ofRun(p, run),
    question: rows.length ? t('budget.most', {name: rows[0].name}) : t('budget.none'),
    reason: rows.length ? t('budget.shares', {u95: plusMinus(u95), unit: rows[0].unit}) : '',
    figure: 'budget', scene: scene({run, shown: {rows, u95}}),
    long: [el('div', {class: 'controls'}, rows.length ? [el('p', {class: 'fact'}, factorWords(k)), numbers(rows, u95)] : null)],
    foot: [...toLengths(run), {label: t('budget.back'), go: `#/runs/${run.id}`}],
  };
}

/** The ± as the finding has it. @param {Finding|undefined} f */
const toldU95 = (f) => f?.values?.find((v) => v.unit === f.budget?.[0]?.unit && v.u95)?.u95;

/** What stands between the rows' root of squares and the ±: 2, or more where few passes scatter. @param {Finding|undefined} f @param {number} sum */
export function factor(f, sum) {
  const told = f?.values?.find((v) => v.name === 'coverage_factor')?.value, u95 = toldU95(f);
  if (told) return told;
  return u95 && sum > 0 ? u95 / Math.sqrt(sum) : 2;
}

const TWICE = 2.005; // shown as 2.00

/** Twice, or Student's t. @param {number} k */
const factorWords = (k) => k < TWICE ? t('budget.k2') : t('budget.t', {k: num(k, 2, true)});

/** @param {BudgetRow[]} rows @param {number} u95 of the whole */
function numbers(rows, u95) {
  const sum = rows.reduce((s, r) => s + r.u * r.u, 0), decimals = 1 + Math.max(0, 1 - Math.floor(Math.log10(Math.max(u95, 0.001)))), part = (/** @type {number} */ u) => num(u95 * u / Math.sqrt(sum), decimals, true);
  const name = (/** @type {BudgetRow} */ r) => ({words: [capital(r.name), el('small', null, t(r.common ? 'budget.same' : 'budget.less'))]});
  return table({caption: t('budget.caption'), cls: 'budget', heads: [[t('budget.part'), `±\u00a0${rows[0].unit}`, t('budget.share')]],
    parts: [...rows.map((r) => [[name(r), part(r.u), `${num(100 * r.u * r.u / sum, 0)}\u00a0%`]]), [[t('budget.whole'), part(Math.sqrt(sum)), '100\u00a0%']]]});
}
