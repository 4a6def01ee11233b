// How the gear bit: three filaments to choose between by touch, drawn large. Faint or on one side; deep or ground away; even
// all round.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {tip} from './marks.mjs';
import {notes} from './numeral.mjs';
import {px, touched} from './pen.mjs';

const WIDE = 26, PITCH = 9; // px: the filament, and from tooth to tooth

/** Bands of a lying strand, as parts of its width, from its upper edge. */
const BANDS = /** @type {const} */ ([['m-edge', 0, 1], ['m-left', 0.05, 0.2], ['m-body', 0.2, 0.28], ['m-shine', 0.28, 0.42], ['m-body', 0.42, 0.74], ['m-right', 0.74, 0.95]]);

/** @param {number} x0 @param {number} x1 @param {number} y */
const filament = (x0, x1, y) => BANDS.map(([cls, a, b]) => el('rect', {class: cls, x: px(x0), y: px(y - WIDE / 2 + a * WIDE), width: px(x1 - x0), height: px((b - a) * WIDE)}));

/** Where the teeth were. @param {number} x0 @param {number} x1 @param {number} [pitch] */
const teeth = (x0, x1, pitch = PITCH) => Array.from({length: Math.max(0, Math.floor((x1 - x0 - 14) / pitch))}, (_, i) => x0 + 10 + i * pitch);

/** Scratches along one side, some of them missing. @param {number} x0 @param {number} x1 @param {number} y */
const shallow = (x0, x1, y) => teeth(x0, x1).filter((_, i) => i % 5 !== 3).map((x, i) => el('line', {class: 'scratch', x1: px(x), x2: px(x + 1.5), y1: px(y - WIDE / 2 + 1), y2: px(y - WIDE / 2 + (i % 2 ? 5 : 7))}));

/** Notches cut into the upper side, then a piece ground away, and its dust below. @param {number} x0 @param {number} x1 @param {number} y */
function deep(x0, x1, y) {
  const top = y - WIDE / 2, from = x0 + (x1 - x0) * 0.64, to = Math.min(x1 - 24, from + 74), notch = (/** @type {number} */ x) => el('path', {class: 'pit', d: `M${px(x - 3.6)} ${px(top)}L${px(x)} ${px(top + 12)}L${px(x + 3.6)} ${px(top)}Z`});
  return [...teeth(x0, x1).filter((x) => x < from - 6 || x > to + 6).map(notch), el('rect', {class: 'halo', x: px(from), y: px(top - 1), width: px(to - from), height: 2}),
    el('path', {class: 'pit', d: `M${px(from)} ${px(top)}C${px(from + 12)} ${px(top + 19)} ${px(to - 12)} ${px(top + 19)} ${px(to)} ${px(top)}Z`}),
    ...[[24, 6, 1.8], [36, 9, 1.2], [46, 5, 2.2], [57, 8, 1.4], [68, 6, 1.7]].map(([dx, dy, r]) => el('circle', {class: 'm-dot', cx: px(Math.min(from + dx, to)), cy: px(y + WIDE / 2 + dy), r}))];
}

/** A clean line for each tooth, across the whole width. @param {number} x0 @param {number} x1 @param {number} y */
const even = (x0, x1, y) => teeth(x0, x1).flatMap((x) => [el('line', {class: 'tooth', x1: px(x), x2: px(x), y1: px(y - WIDE / 2 + 1), y2: px(y + WIDE / 2 - 1)}),
  el('path', {class: 'pit', d: `M${px(x - 2)} ${px(y - WIDE / 2)}l2 3l2 -3ZM${px(x - 2)} ${px(y + WIDE / 2)}l2 -3l2 3Z`})]);

/** @type {Record<string, (x0: number, x1: number, y: number) => Node_[]>} */
const MARKS = {shallow, deep, even};

/** Those that have a drawing; to have seen none is said by a link. @param {Scene} s */
const choices = (s) => (s.question?.fields?.find((f) => f.kind === 'choice')?.choices ?? []).filter((c) => MARKS[c.value]);

/** @param {Frame} f @param {Scene} s @param {Choice} c @param {number} y @param {number} h */
function band(f, s, c, y, h) {
  const chosen = s.pick === c.value, x0 = f.col, mid = y + h / 2 - 11;
  return touched(() => s.choose(c.value), {'aria-pressed': chosen ? 'true' : 'false', 'aria-label': c.label},
    el('rect', {class: chosen ? 'band chosen' : 'band', x: x0 - 12, y: px(y), width: f.width - x0 + 12, height: px(h)}),
    chosen ? el('rect', {class: 'ink', x: x0 - 12, y: px(y), width: 5, height: px(h)}) : null,
    filament(x0, f.width, mid), MARKS[c.value](x0, f.width, mid), notes(x0, mid + 31, c.label, f.right, 1, chosen ? 'fig-note-bold' : 'fig-note'));
}

/** @type {Figure} */
export const bite = {
  place: 'between', strand: 'carries', least: 198, most: 300,
  title: () => t('bite.title'),
  desc: (s) => choices(s).map((c) => c.label).join(', ') || t('bite.title'),
  draw(f, s) {
    const all = choices(s), h = (f.height - 8) / Math.max(1, all.length);
    return [...tip(f.sx, 10, f.height), ...all.map((c, i) => band(f, s, c, 8 + h * i, h - 4))];
  },
};
