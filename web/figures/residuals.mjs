// Several lengths against one mark: how far each reading lies off the straight line of all. Length goes up the strand,
// what it is off stands to the right, about a line at zero; each reading has its sleeve, a stray one a frame and its name.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {SWELL, SWOLLEN, px, ring, strand, swelling, text} from './pen.mjs';
import {between, known, num, widthOf} from './words.mjs';

/** @typedef {{at_mm: number, off_mm: number, stray: boolean}} Read */
/** @typedef {{pass: number, curved: boolean, u95_mm: number|null, reads: Read[]}} Stretch  u95_mm: of one reading; null where it is not told */

/** @param {Scene} s @returns {Stretch[]} */
const stretchesOf = (s) => (Array.isArray(s.shown.stretches) ? s.shown.stretches : []).map((/** @type {Stretch} */ p) => ({...p, u95_mm: known(p.u95_mm) && p.u95_mm > 0 ? p.u95_mm : null, reads: p.reads.filter((r) => known(r.at_mm) && r.at_mm > 0 && known(r.off_mm))}));

const LEAST_MM = 0.05; // half the width that is drawn at least: smaller is finer than any reading

/** @param {Frame} f @param {Stretch[]} all */
function lie(f, all) {
  const reads = all.flatMap((p) => p.reads.map((r) => Math.abs(r.off_mm) + (p.u95_mm ?? 0))), most = between(Math.max(LEAST_MM, ...reads) * 1.1, LEAST_MM, 9999), longest = Math.max(1, ...all.flatMap((p) => p.reads.map((r) => r.at_mm)));
  const left = f.sx + SWOLLEN / 2 + (f.narrow ? 46 : 54), right = f.right - 6, mid = (left + right) / 2, foot = f.height - 40, top = SWELL + 24;
  return {mid, foot, top, left, right, most, x: (/** @type {number} */ off) => mid + between(off, -most, most) / most * (right - left) / 2, y: (/** @type {number} */ at) => foot - at / longest * (foot - top)};
}

/** The largest of 1, 2 and 5 times a power of ten that is no more. @param {number} most */
const roundBelow = (most) => { const power = 10 ** Math.floor(Math.log10(most)); return [5, 2, 1].map((n) => n * power).find((v) => v <= most) ?? power; };

/** "+0.80" @param {number} off */
export const signed = (off) => `${off > 0 ? '+' : ''}${num(off)}`;

/** One reading with its sleeve; a stray one in a frame, with its name. @param {ReturnType<typeof lie>} on @param {Stretch} p @param {Read} r @param {number} shift px @param {number} width of the paper */
function reading(on, p, r, shift, width) {
  const x = on.x(r.off_mm), y = on.y(r.at_mm) + shift, u = p.u95_mm ?? 0, a = on.x(r.off_mm - u), b = on.x(r.off_mm + u), w = 40;
  const name = t('residuals.stray', {off: signed(r.off_mm)}), half = widthOf(name, 15, true) / 2 + 2;
  return [
    ...(u > 0 ? [el('path', {class: 'fine', d: `M${px(a)} ${px(y)}H${px(b)}M${px(a)} ${px(y - 5)}v10M${px(b)} ${px(y - 5)}v10`})] : []),
    el('rect', {class: r.stray ? 'ring-hollow' : 'ring', x: px(x - 3), y: px(y - 6), width: 6, height: 12}),
    ...(r.stray ? [el('rect', {class: 'stroke', x: px(between(x - w / 2, 0, width - w)), y: px(y - 12), width: w, height: 24}), text(between(x, half, width - half - 8), y - 17, name, 'scale-strong', 'middle')] : []),
  ];
}

/** A bend is drawn as it goes; the line itself is at zero. @param {ReturnType<typeof lie>} on @param {Stretch} p */
const bend = (on, p) => p.curved && p.reads.length > 1 ? [el('path', {class: 'far', d: `M${p.reads.map((r) => `${px(on.x(r.off_mm))} ${px(on.y(r.at_mm))}`).join('L')}`})] : [];

/** @type {Figure} */
export const residuals = {
  place: 'between', strand: 'carries', least: 250, most: 380,
  title: () => t('residuals.title'),
  desc: (s) => stretchesOf(s).flatMap((p) => p.reads.map((r) => t('residuals.one', {at: num(r.at_mm), off: signed(r.off_mm)}))).join(', ') || t('residuals.nothing'),
  draw(f, s) {
    const all = stretchesOf(s), on = lie(f, all), nice = roundBelow(on.most), ends = [-1, 1].map((w) => ({x: on.x(w * nice), value: w * nice}));
    const places = [...new Set(all.flatMap((p) => p.reads.map((r) => r.at_mm)))].sort((a, b) => a - b).filter((at, i, list) => i === 0 || on.y(list[i - 1]) - on.y(at) >= 16);
    return [
      ...swelling(f.sx, 0), ...strand(f.sx, SWELL, on.foot + 12, {width: SWOLLEN, cut: true}),
      ...places.flatMap((at) => [...ring(f.sx, on.y(at), {width: SWOLLEN}), text(f.sx + SWOLLEN / 2 + 8, on.y(at) + 5, num(at, 0), 'scale-label'), el('line', {class: 'list-rule', x1: px(on.left), x2: px(on.right), y1: px(on.y(at)), y2: px(on.y(at))})]),
      el('line', {class: 'stroke', x1: px(on.mid), x2: px(on.mid), y1: SWELL, y2: px(on.foot + 12)}),
      ...all.flatMap((p, i) => [...bend(on, p), ...p.reads.flatMap((r) => reading(on, p, r, (i - (all.length - 1) / 2) * 7, f.width))]),
      text(on.mid, on.foot + 30, '0', 'scale-label', 'middle'),
      ...ends.flatMap((e) => [el('line', {class: 'tick-label', x1: px(e.x), x2: px(e.x), y1: px(on.foot + 4), y2: px(on.foot + 12)}), text(Math.min(e.x, f.right - widthOf(`${signed(e.value)} mm`, 15) / 2), on.foot + 30, `${signed(e.value)}${e.value > 0 ? '\u00a0mm' : ''}`, 'scale-label', 'middle')]),
      ...(all.some((p) => p.curved) ? [text(on.right, SWELL - 8, t('residuals.curved'), 'scale-strong', 'end')] : []),
    ];
  },
};
