// What a climb to the flow limit found: the flow to work with as the large number, and below it what went in at each flow.

import {t} from '../texts.mjs';
import {numeral} from './numeral.mjs';
import {strand, text} from './pen.mjs';
import {speeds} from './speeds.mjs';
import {cut, decimalsOf, known, num, plusMinus, widthOf} from './words.mjs';

const PLUS = 22, MOST = 24; // px; flows drawn

/** A number that can be a flow. @param {Scene} s @param {string} name */
const valueOf = (s, name) => { const v = s.run?.finding?.values?.find((x) => x.name === name); return v && known(v.value) && v.value >= 0 && v.value < 1e5 ? v : undefined; };

/** As sure as its ±, with a digit after the point at least. @param {number} v @param {number|undefined} u95 */
const sure = (v, u95) => num(v, known(u95) && u95 > 0 ? Math.max(1, decimalsOf(u95)) : 1, true);

/** Number, unit and what stands below it, by what was found. @param {Scene} s @returns {{number: string, unit: string, below: string, hollow: boolean}} */
function head(s) {
  const work = valueOf(s, 'flow_limit_mm3_per_s'), limit = valueOf(s, 'falls_at_mm3_per_s'), least = valueOf(s, 'at_least_mm3_per_s'), unit = t('flow.unit');
  if (work) return {number: sure(work.value, work.u95), unit, hollow: false, below: limit ? t('flow.limit', {limit: `${sure(limit.value, limit.u95)}${known(limit.u95) ? ` ${plusMinus(limit.u95)}` : ''}\u00a0${unit}`}) : ''};
  if (least) { const fastest = points(s).at(-1)?.flow; return {number: num(least.value, 1, true), unit, hollow: true, below: known(fastest) ? t('flow.atLeast', {flow: num(fastest)}) : t('flow.atLeast0')}; }
  switch (s.run?.finding?.kind) {
    case 'short': return limit ? {number: sure(limit.value, limit.u95), unit, hollow: true, below: t('flow.early')} : {number: t('flow.slips'), unit: '', hollow: true, below: t('flow.slips2')};
    case 'too_few': return {number: t('flow.few'), unit: '', hollow: true, below: t('flow.few2')};
  }
  return {number: t('flow.unknown'), unit: '', hollow: true, below: s.run?.finding?.kind === 'too_fast' ? t('flow.fast') : ''};
}

/** Slowest first. @param {Scene} s @returns {import('./speeds.mjs').Point[]} */
const points = (s) => (Array.isArray(s.shown.blocks) ? s.shown.blocks : []).filter((/** @type {any} */ b) => known(b?.flow) && known(b?.fed) && b.flow >= 0 && b.flow < 1e5 && Math.abs(b.fed) < 1e4)
  .sort((/** @type {any} */ a, /** @type {any} */ b) => a.flow - b.flow).slice(0, MOST);

/** @param {Scene} s @returns {import('./speeds.mjs').Told} */
function told(s) {
  const least = valueOf(s, 'at_least_mm3_per_s')?.value, level = s.shown.level, tolerance = s.shown.tolerance, limit = valueOf(s, 'falls_at_mm3_per_s');
  return {points: points(s), level: known(level) && level > 0 && level < 1e3 ? level : 100, tolerance: known(tolerance) && tolerance > 0 && tolerance < 100 ? tolerance : 2, low: valueOf(s, 'from_mm3_per_s')?.value ?? least ?? (limit?.u95 ? Math.max(0, limit.value - limit.u95) : undefined),
    high: valueOf(s, 'to_mm3_per_s')?.value ?? least ?? (limit?.u95 ? limit.value + limit.u95 : undefined), open: least !== undefined, limit: limit?.value ?? least, work: valueOf(s, 'flow_limit_mm3_per_s')?.value, hollow: head(s).hollow};
}

/** @type {Figure} */
export const flow = {
  place: 'above', strand: 'carries', least: 280, most: 430,
  title: () => t('flow.title'),
  desc: (s) => { const it = head(s); return t('flow.desc', {number: it.number, unit: it.unit, below: it.below || t('flow.title'), points: points(s).map((p) => `${num(p.flow)}: ${num(p.fed, 1)} %`).join(', ') || t('flow.nothing')}).replace(/\s+/g, ' '); },
  draw(f, s) {
    const it = head(s), all = told(s), roomy = f.height >= 360, size = roomy ? 60 : 52, over = roomy ? 26 : 0, foot = over + size * 0.75 + 13, plus = foot + 18, large = widthOf(it.below, PLUS) <= f.right - f.col;
    const top = plus + 12, words = [...(roomy && all.work !== undefined ? [text(f.col, 18, t('flow.work'), 'fig-text2')] : []), ...numeral(f.col, foot, it.number, it.unit, {to: f.right, most: it.unit === '' && f.narrow ? 40 : size, hollow: it.hollow}),
      text(f.col, plus, cut(it.below, f.right - f.col, large ? PLUS : 17), large ? 'plus' : 'fig-text2')];
    return all.points.length ? [...speeds(f, top, all), ...words] : [...strand(f.sx, 0, f.height), ...words];
  },
};
