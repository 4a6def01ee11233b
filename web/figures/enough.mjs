// What another pass would change: sleeves one below the other, as wide as the ± is now, with the passes that reach the
// target, and however many there were; the target as two lines across.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {step, tip} from './marks.mjs';
import {px, ring, strand, text} from './pen.mjs';
import {cut, known, num, plusMinus} from './words.mjs';

/** @typedef {{name: string, u95: number, kind: 'now'|'then'|'ever'}} Sleeve */

/** @param {Scene} s @returns {Sleeve[]} */
function sleevesOf(s) {
  const {passes, u95_percent: u95, target_percent: target, passes_to_target: to, floor_u95_percent: floor} = s.shown;
  const percent = (/** @type {number} */ u) => `${plusMinus(u)}\u00a0%`, drawn = (/** @type {any} */ u) => known(u) && u > 0;
  /** @type {Sleeve[]} */
  const all = [];
  if (drawn(u95)) all.push({name: t(passes === 1 ? 'enough.now1' : 'enough.now', {n: num(passes, 0), u95: percent(u95)}), u95, kind: 'now'});
  if (drawn(target) && known(to) && to > 0) all.push({name: t('enough.then', {n: num(to, 0), u95: `±\u00a0${num(target)}\u00a0%`}), u95: target, kind: 'then'});
  if (drawn(floor)) all.push({name: t('enough.ever', {u95: percent(floor)}), u95: floor, kind: 'ever'});
  return all;
}

/** @param {Sleeve} v @param {number} mid @param {number} half px @param {number} y */
function sleeve(v, mid, half, y) {
  const a = px(mid - half), b = px(mid + half), h = 8, cls = v.kind === 'now' ? 'stroke' : 'ring-open';
  return [el('path', {class: cls, d: `M${a} ${y - h}H${b}M${a} ${y + h}H${b}`}), el('path', {class: 'stroke', d: `M${a} ${y - h - 4}V${y + h + 4}M${b} ${y - h - 4}V${y + h + 4}`}), el('line', {class: 'tick', x1: px(mid), x2: px(mid), y1: y - h, y2: y + h})];
}

/** The target as two lines that stand beside each sleeve, joined below it where its name is. @param {Frame} f @param {number[]} ys @param {number} mid @param {number} half @param {string} words */
function targetLines(f, ys, mid, half, words) {
  const low = (ys.at(-1) ?? 34) + 18, a = px(mid - half), b = px(mid + half);
  return [...ys.flatMap((y) => [a, b].map((x) => el('line', {class: 'stroke', x1: x, x2: x, y1: y - 13, y2: y + 13}))),
    el('path', {class: 'stroke', d: `M${a} ${low - 5}V${low}H${b}V${low - 5}`}), text(mid, low + 18, cut(words, f.right - f.col, 15), 'scale-label', 'middle')];
}

const ROW = 50; // px: a name and its sleeve

/** @type {Figure} */
export const enough = {
  place: 'between', strand: 'carries', least: 172, most: 196,
  title: () => t('enough.title'),
  desc: (s) => sleevesOf(s).map((v) => v.name).join('; ') || t('enough.nothing'),
  draw(f, s) {
    const all = sleevesOf(s), x0 = f.col + 4, x1 = f.right - 4, mid = (x0 + x1) / 2, most = Math.max(...all.map((v) => v.u95), s.shown.target_percent > 0 ? s.shown.target_percent : 0, 1e-9);
    const half = (/** @type {number} */ u) => Math.max(3, u / most * (x1 - x0) / 2), y = (/** @type {number} */ i) => 34 + i * ROW, target = known(s.shown.target_percent) && s.shown.target_percent > 0 ? half(s.shown.target_percent) : null;
    const now = all.findIndex((v) => v.kind === 'now');
    return [
      ...(now < 0 ? strand(f.sx, 0, f.height) : tip(f.sx, y(now) + 18, f.height)), ...(now < 0 ? [] : ring(f.sx, y(now))),
      ...all.flatMap((v, i) => [
        ...(v.kind === 'then' ? [step(f.sx, y(i))] : []),
        text(x0, y(i) - 20, cut(v.name, f.right - x0, 17), v.kind === 'now' ? 'fig-bold' : 'fig-text2'), ...sleeve(v, mid, half(v.u95), y(i))]),
      ...(target === null ? [] : targetLines(f, all.map((_, i) => y(i)), mid, target, t('enough.target', {target: num(s.shown.target_percent)}))),
    ];
  },
};
