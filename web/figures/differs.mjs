// Settings in use and stored: two solid rings on the rule, each with its owner's name; the others as a list below it.

import {t} from '../texts.mjs';
import {el} from '../el.mjs';
import {px, text} from './pen.mjs';
import {OVER, UNDER, rule} from './rule.mjs';
import {cut, known, num} from './words.mjs';

/** @typedef {{word: string, letter: string, tool: number, in_use: number|null, stored: number|null}} Difference */

const ROW = 28;

/** @param {Scene} s @returns {Difference[]} */
const differences = (s) => Array.isArray(s.shown.differences) ? s.shown.differences : [];

/** @param {Difference} d */
const nameOf = (d) => [d.word, d.tool > 0 ? `T${d.tool}` : '', d.letter].filter(Boolean).join('\u00a0');

/** @param {any} x */
const told = (x) => known(x) ? num(x, 4) : t('differs.not_told');

/** One row: its name, what is in use, what is stored. @param {Frame} f @param {number} y @param {string[]} words @param {string} cls */
function row(f, y, words, cls) {
  const w = (f.right - f.col) / 3;
  return words.map((word, i) => text(i === 0 ? f.col : f.col + w * (i + 1), y, cut(word, w - 6, 15), cls, i === 0 ? 'start' : 'end'));
}

/** @param {Frame} f @param {Difference[]} others @param {number} y0 */
function list(f, others, y0) {
  if (others.length === 0) return [];
  const room = Math.floor((f.height - 6 - y0) / ROW) - 1, fits = others.length <= room ? others.length : Math.max(0, room - 1);
  const top = y0 + 8;
  const rows = others.slice(0, fits).flatMap((d, i) => [
    el('line', {class: 'list-rule', x1: f.col, x2: f.right, y1: px(top + ROW * i), y2: px(top + ROW * i)}),
    ...row(f, top + ROW * i + 20, [nameOf(d), told(d.in_use), told(d.stored)], 'scale-label')]);
  const heads = row(f, y0, ['', t('differs.in_use'), t('differs.stored')], 'scale-label');
  return [...(fits > 0 ? heads : []), ...rows, ...(fits < others.length ? [text(f.col, (fits > 0 ? top : y0 - 20) + ROW * fits + 20, t('differs.more', {n: others.length - fits}), 'scale-label')] : [])];
}

/** @type {Figure} */
export const differs = {
  place: 'between', strand: 'turns', least: 172, most: 260,
  title: () => t('differs.title'),
  desc: (s) => differences(s).map((d) => t('differs.desc', {name: nameOf(d), use: told(d.in_use), kept: told(d.stored)})).join(' ') || t('differs.nothing'),
  draw(f, s) {
    const [first, ...others] = differences(s), y = 26 + OVER + 8;
    /** @type {import('./rule.mjs').Ring[]} */
    const rings = first ? [{value: first.stored ?? NaN, name: t('differs.stored'), kind: 'solid'}, {value: first.in_use ?? NaN, name: t('differs.in_use'), kind: 'solid', strong: true}] : [];
    return [
      text(f.col, 20, first ? nameOf(first) : t('differs.nothing'), 'fig-bold'),
      ...rule(f, y, {rings, sleeve: null, decimals: 2}),
      ...list(f, others, y + UNDER + 22),
    ];
  },
};
