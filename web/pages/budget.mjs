// What the plus-minus is made of: each part a length between rings, by its share of the squares, the largest first.

import {el} from '../el.mjs';
import {figureOf} from '../figures/index.mjs';
import {plusMinus} from '../entry.mjs';
import {ofRun, scene} from '../page.mjs';
import {t} from '../texts.mjs';

/** @param {Page} p @param {Run} run @returns {Sheet} */
export function budget(p, run) {
  const rows = [...(run.finding?.budget ?? [])].sort((a, b) => b.u - a.u);
  const sum = rows.reduce((s, r) => s + r.u * r.u, 0), k = factor(run.finding, sum), u95 = k * Math.sqrt(sum);
  const drawn = figureOf('budget') !== null;
  return {
    key: `${run.id}/budget`, ...ofRun(p, run),
    question: rows.length ? t('budget.most', {name: rows[0].name}) : t('budget.none'),
    reason: rows.length ? t('budget.shares', {u95: plusMinus(u95), unit: rows[0].unit}) : '',
    figure: 'budget', scene: scene({run, shown: {rows, u95}}),
    body: drawn ? undefined : [el('ul', {class: 'choices'}, rows.map((r) => bar(r, sum, k)))],
    links: [{label: t('budget.back'), go: `#/runs/${run.id}`}],
  };
}

/** What stands between the rows' root of squares and the ±: 2, or more where few passes scatter. @param {Finding|undefined} f @param {number} sum */
export function factor(f, sum) {
  const u95 = f?.values?.find((v) => v.unit === f.budget?.[0]?.unit && v.u95)?.u95;
  return u95 && sum > 0 ? u95 / Math.sqrt(sum) : 2;
}

/** @param {BudgetRow} r @param {number} sum @param {number} k */
const bar = (r, sum, k) => el('li', {class: 'choice'}, r.name, el('small', null, `${plusMinus(k * r.u)}\u00a0${r.unit}, ${Math.round(100 * r.u * r.u / sum)}\u00a0%`));
