// How the strand came out: two drawn strands to choose between by touch, as they lie on the bench.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {lying} from './bend.mjs';
import {tip} from './marks.mjs';
import {notes} from './numeral.mjs';
import {px, touched} from './pen.mjs';

/** Where a popping strand has burst, px from its left end: [at, half width, up (-1) or down (1)]. */
const BURSTS = /** @type {const} */ ([[18, 7, -1], [47, 5, 1], [74, 9, -1], [102, 4, -1], [129, 8, 1], [158, 5, -1], [187, 7, 1], [214, 9, -1], [243, 5, 1],
  [268, 7, -1], [297, 6, 1], [326, 8, -1], [352, 5, 1]]);

/** Bubbles in it, px from its left end and from its axis, radius. */
const BUBBLES = /** @type {const} */ ([[33, 1, 2.4], [60, -2, 1.6], [88, 2, 3], [116, -1, 1.8], [145, 1, 2.6], [172, -1, 2], [201, -1, 2.8], [229, 2, 1.6], [256, 0, 2.4], [283, -2, 1.8], [312, 1, 2.6], [340, -1, 2]]);

/** Popping: burst edges, bubbles, and no shine but in pieces. @param {number} x0 @param {number} x1 @param {number} y */
function popping(x0, x1, y) {
  const inside = (/** @type {number} */ at, /** @type {number} */ r) => x0 + at + r < x1 - 2;
  const seen = BURSTS.filter(([at, r]) => inside(at, r + 8));
  const bursts = seen.map(([at, r, way]) => el('path', {class: 'burst',
    d: `M${px(x0 + at - r)} ${px(y + way * 6.5)}c${px(r * 0.3)} ${way * 7} ${px(r * 1.6)} ${way * 6} ${px(r * 2)} 0`}));
  const pits = seen.map(([at, r, way]) => el('path', {class: 'pit', d: `M${px(x0 + at + r)} ${px(y + way * 7.5)}c1.5 ${way * -6} 5.5 ${way * -6} 7 0Z`}));
  return [
    el('rect', {class: 'm-edge', x: x0, y: px(y - 7), width: px(x1 - x0), height: 14}), el('rect', {class: 'm-left', x: x0, y: px(y - 6), width: px(x1 - x0), height: 12}),
    ...bursts, ...pits,
    ...BUBBLES.filter(([at, , r]) => inside(at, r)).map(([at, dy, r]) => el('circle', {class: 'bubble', cx: px(x0 + at), cy: px(y + dy), r})),
  ];
}

/** @param {Scene} s */
const choices = (s) => s.question?.fields?.find((f) => f.kind === 'choice')?.choices ?? [];

/** @param {Frame} f @param {Scene} s @param {{value: string, label: string}} c @param {number} y @param {number} h */
function band(f, s, c, y, h) {
  const chosen = s.pick === c.value, x0 = f.col, mid = y + h / 2 - 12;
  return touched(() => s.choose(c.value), {'aria-pressed': chosen ? 'true' : 'false', 'aria-label': c.label},
    el('rect', {class: chosen ? 'band chosen' : 'band', x: x0 - 12, y: px(y), width: f.width - x0 + 12, height: px(h)}),
    chosen ? el('rect', {class: 'ink', x: x0 - 12, y: px(y), width: 5, height: px(h)}) : null,
    c.value === 'popping' ? popping(x0, f.width, mid) : lying(x0, f.width, mid),
    notes(x0, mid + 33, c.label, f.right, 1, chosen ? 'fig-note-bold' : 'fig-note'));
}

/** @type {Figure} */
export const look = {
  place: 'between', strand: 'carries', least: 152, most: 220,
  title: () => t('look.title'),
  desc: (s) => choices(s).map((c) => c.label).join(', ') || t('look.title'),
  draw(f, s) {
    const all = choices(s), h = (f.height - 8) / Math.max(1, all.length);
    return [...tip(f.sx, 10, f.height), ...all.map((c, i) => band(f, s, c, 8 + h * i, h - 4))];
  },
};
