// What the ± is made of: the swollen strand is the whole, each part a length between rings by its share of the squares.

import {t} from '../texts.mjs';
import {el} from '../el.mjs';
import {bracket} from './marks.mjs';
import {SWELL, SWOLLEN, px, ring, strand, swelling, text} from './pen.mjs';
import {cut, known, num, widthOf} from './words.mjs';

/** @typedef {{name: string, part: number, share: number}} Part  part: in the unit of the whole; share: of the squares */

const ROW = 28;

/**
 * The parts, largest first. A part in the unit of the ± is U95 u / √Σu²: its share of the squares, so that the parts'
 * squares sum to the square of the whole.
 * @param {Scene} s @returns {{parts: Part[], u95: number, unit: string}}
 */
export function partsOf(s) {
  const rows = (s.run?.finding?.budget ?? []).filter((r) => known(r.u) && r.u > 0);
  const squares = rows.reduce((sum, r) => sum + r.u * r.u, 0), unit = rows[0]?.unit ?? '';
  const u95 = s.run?.finding?.values?.find((v) => v.unit === unit && known(v.u95))?.u95 ?? 2 * Math.sqrt(squares);
  const parts = rows.map((r) => ({name: r.name, part: u95 * r.u / Math.sqrt(squares), share: r.u * r.u / squares}));
  return {parts: parts.sort((a, b) => b.share - a.share), u95, unit};
}

/** Parts for which there is no room become one. @param {Part[]} parts @param {number} most @returns {Part[]} */
function gather(parts, most) {
  if (parts.length <= most) return parts;
  const rest = parts.slice(most - 1);
  return [...parts.slice(0, most - 1), {name: t('budget.rest', {n: rest.length}), part: Math.hypot(...rest.map((p) => p.part)), share: rest.reduce((sum, p) => sum + p.share, 0)}];
}

/** Baselines of the names: by their parts, no closer than a row, none below `low`. @param {number[]} middles @param {number} low */
function spread(middles, low) {
  const out = [...middles];
  for (let i = 1; i < out.length; i++) out[i] = Math.max(out[i] ?? 0, (out[i - 1] ?? 0) + ROW);
  for (let i = out.length - 1, most = low; i >= 0; i--, most -= ROW) out[i] = Math.min(out[i] ?? 0, most);
  return out;
}

/** @param {Frame} f @param {Part} p @param {number} y0 @param {number} y1 @param {number} y of the name @param {boolean} main @param {string} unit */
function partAt(f, p, y0, y1, y, main, unit) {
  const x = f.sx + SWOLLEN / 2 + 5, to = x + 30, mid = (y0 + y1) / 2, value = `${num(p.part, 3)}${main ? `\u00a0${unit}` : ''}`;
  return [
    bracket(x, Math.min(y0 + 3, mid), Math.max(y1 - 3, mid), main),
    el('path', {class: 'leader', d: `M${px(x + 6)} ${px(mid)}h5L${px(to - 7)} ${px(y)}H${to}`}),
    text(to + 4, y + 5, cut(p.name, f.right - to - 16 - widthOf(value, 16, main), 17), main ? 'fig-bold' : 'fig-text2'),
    text(f.right, y + 5, value, main ? 'scale-strong' : 'scale-label', 'end'),
  ];
}

/** @type {Figure} */
export const budget = {
  place: 'between', strand: 'carries', least: 190, most: 330,
  title: () => t('budget.title'),
  desc: (s) => { const b = partsOf(s); return b.parts.map((p) => `${p.name} ${num(p.part, 3)} ${b.unit}`).join(', ') || t('budget.nothing'); },
  draw(f, s) {
    const b = partsOf(s), top = SWELL + 12, foot = f.height - 12;
    const parts = gather(b.parts, Math.floor((foot - top + 14) / ROW)), low = foot - Math.max(4, 14 * (parts.length - 3));
    let y = top;
    const ends = parts.map((p) => (y += p.share * (low - top)));
    const starts = [top, ...ends.slice(0, -1)];
    const names = spread(parts.map((_, i) => ((starts[i] ?? 0) + (ends[i] ?? 0)) / 2), foot);
    return [
      ...swelling(f.sx, 0), ...strand(f.sx, SWELL, low + 4, {width: SWOLLEN}),
      ...parts.flatMap((p, i) => partAt(f, p, starts[i] ?? 0, ends[i] ?? 0, names[i] ?? 0, i === 0, b.unit)),
      ...(parts.length ? [top, ...ends].flatMap((at) => ring(f.sx, at, {width: SWOLLEN})) : []),
      ...(parts.length ? [] : [text(f.col, SWELL + 20, t('budget.nothing'), 'scale-label')]),
    ];
  },
};
