// How the readings of several lengths lie about their line: drawn, with a bend and strays named, and as numbers.

import {el} from '../el.mjs';
import {signed} from '../figures/residuals.mjs';
import {num} from '../figures/words.mjs';
import {ofRun, scene} from '../page.mjs';
import {stretchesOf} from '../stretch.mjs';
import {table} from '../table.mjs';
import {mm, t} from '../texts.mjs';

/** @typedef {import('../stretch.mjs').Kept} Kept */

/** @param {Page} p @param {Run} run @returns {Sheet} */
export function lengths(p, run) {
  const all = stretchesOf(p.state.entries[run.printer] ?? [], run.id), back = {label: t('budget.back'), go: `#/runs/${run.id}`};
  /** @type {Sheet} */
  const base = {key: `${run.id}/lengths`, ...ofRun(p, run), question: t('lengths.none'), end: 'tip', foot: [back]};
  if (!all.length) return {...base, question: p.state.entries[run.printer] ? t('lengths.none') : t('run.reading')};
  return {...base, question: headline(all), reason: why(all), figure: 'residuals', scene: scene({run, shown: {stretches: all}}),
    long: [el('div', {class: 'controls'}, all.filter((s) => Math.abs(s.offset_mm) >= 0.005).map((s) => el('p', {class: 'fact'}, all.length > 1 ? [el('b', null, t('lengths.pass', {n: s.pass})), '. '] : null, t('lengths.offset', {offset: mm(Math.abs(s.offset_mm))}))), numbers(all))]};
}

/** Strays of all passes, by what was fed. @param {Kept[]} all */
const straysOf = (all) => all.flatMap((s) => s.reads.filter((r) => r.stray));

/** @param {Kept[]} all */
function headline(all) {
  const n = straysOf(all).length;
  if (all.some((s) => s.curved)) return t('lengths.curved');
  return n === 0 ? t('lengths.straight') : n === 1 ? t('lengths.strays') : t('lengths.strays2', {n});
}

/** @param {Kept[]} all */
function why(all) {
  if (all.some((s) => s.curved)) return t('lengths.why.curved');
  const strays = straysOf(all);
  return strays.length ? t('lengths.why.strays', {at: strays.map((r) => `${num(r.at_mm)}\u00a0mm`).join(', ')}) : t('lengths.why');
}

/** @param {Kept[]} all */
function numbers(all) {
  const row = (/** @type {Kept} */ s, /** @type {number} */ i) => { const b = s.blocks[i], r = s.reads[i]; return [num(b.commanded_mm), num(b.leftover_mm, 2, true), num(s.mark_mm - b.leftover_mm, 2, true), {words: [signed(r.off_mm), r.stray ? el('small', null, t('lengths.named')) : null]}]; };
  const heads = [t('lengths.fed'), t('lengths.left'), t('lengths.in'), t('lengths.off')].map((h) => `${h}, mm`);
  const parts = all.flatMap((s) => [...(all.length > 1 ? [[[{words: t('lengths.pass', {n: s.pass}), across: 4}]]] : []), ...s.reads.map((_, i) => [row(s, i)])]);
  return table({caption: t('lengths.caption'), heads: [heads], parts, cls: 'budget'});
}
