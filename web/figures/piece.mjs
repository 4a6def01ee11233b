// The piece from the front: posts on their foot, gaps that widen, bands with notches on the first block, one dot to eight
// there, the arrow on the foot. Drawn from the agent's own numbers; the height may be stretched.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {px, text} from './pen.mjs';
import {known, num, widthOf} from './words.mjs';

/** @typedef {{at_mm: number, wide_mm: number}} Stand */
/** @typedef {{letter: string, from_mm: number, to_mm: number, judge_mm?: number, dots: number}} Band */
/** @typedef {{long_mm: number, high_mm: number, foot_mm: number, posts: Stand[], blocks: Stand[], gaps: Stand[], bands: Band[], arrow_at_mm: number}} Drawing */
/** How millimetres become pixels. @typedef {{x: (mm: number) => number, y: (mm: number) => number}} Plot */

export const OVER = 26; // px over the posts, for the widths of the gaps
const LABEL = 15, MOST = 24; // of bands, posts, gaps: more is a fault of somebody

/** A drawing that can be drawn, or null. @param {any} d @returns {Drawing|null} */
export function drawingOf(d) {
  const stands = (/** @type {any} */ list) => Array.isArray(list) && list.length <= MOST && list.every((s) => known(s?.at_mm) && known(s.wide_mm) && s.wide_mm > 0 && s.at_mm >= 0 && s.at_mm + s.wide_mm <= d.long_mm + 1e-6);
  const bands = Array.isArray(d?.bands) && d.bands.length > 0 && d.bands.length <= MOST && d.bands.every((/** @type {any} */ b) => known(b?.from_mm) && known(b.to_mm) && b.to_mm > b.from_mm && b.from_mm >= 0);
  return known(d?.long_mm) && d.long_mm > 0 && known(d.foot_mm) && bands && stands(d.posts) && stands(d.blocks) && stands(d.gaps) && d.posts.length > 0 ? d : null;
}

/** @param {Stand} s @param {Plot} at @param {number} low @param {number} high mm @returns {Node_} */
const stand = (s, at, low, high) => el('rect', {class: 'm-dot', x: px(at.x(s.at_mm)), y: px(at.y(high)), width: px(at.x(s.at_mm + s.wide_mm) - at.x(s.at_mm)), height: px(at.y(low) - at.y(high))});

/** Posts and blocks from one height to another. @param {Drawing} d @param {Plot} at @param {number} low @param {number} high mm */
export const posts = (d, at, low, high) => [...d.blocks, ...d.posts].map((s) => stand(s, at, low, high));

/** The foot with its arrow, and the bed that it stands on. @param {Drawing} d @param {Plot} at @param {number} y0 where the foot begins @param {number} y1 the bed @returns {Node_[]} */
export function foot(d, at, y0, y1) {
  const x = at.x(known(d.arrow_at_mm) ? d.arrow_at_mm : 0);
  return [el('rect', {class: 'm-dot', x: px(at.x(0)), y: px(y0), width: px(at.x(d.long_mm) - at.x(0)), height: px(y1 - y0)}),
    el('path', {class: 'ink', d: `M${px(x - 4)} ${px(y1 + 9)}h8l-4 -7Z`})];
}

/** Notches and dots on the first block, over the arrow, where a thumb finds them. @param {Drawing} d @param {Plot} at @param {Band[]} bands those in sight @param {boolean} last the uppermost of all is among them */
export function signs(d, at, bands, last) {
  const post = d.blocks[0] ?? d.posts[0];
  const x0 = at.x(post.at_mm), x1 = at.x(post.at_mm + post.wide_mm), mid = (x0 + x1) / 2;
  const cut = (/** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ by) => el('path', {class: 'pit', d: `M${px(x)} ${px(y - 3)}L${px(x + by)} ${px(y)}L${px(x)} ${px(y + 3)}Z`});
  return bands.flatMap((b, i) => {
    const y = at.y(b.to_mm), high = at.y(b.from_mm) - y;
    return [...(last && i === bands.length - 1 ? [] : [cut(x0, y, 4), cut(x1, y, -4)]), ...dots(mid, y + high / 2, b.dots, high, x1 - x0)];
  });
}

/** One to eight, as a thumb finds them: in one column, from five on in two. @param {number} x @param {number} y @param {number} n @param {number} high @param {number} wide px */
function dots(x, y, n, high, wide) {
  if (!known(n) || n < 1 || n > 8 || high < 22) return [];
  const two = n > 4, rows = two ? Math.ceil(n / 2) : n, r = high < 31 ? 1.4 : 1.7, step = Math.min(9, (high - 8) / 4), side = Math.min(4.5, wide / 4);
  return Array.from({length: n}, (_, i) => {
    const cx = px(two ? x + (i % 2 ? side : -side) : x), cy = px(y + ((two ? Math.floor(i / 2) : i) - (rows - 1) / 2) * step);
    return [el('circle', {class: 'halo', cx, cy, r: r + 1}), el('circle', {class: 'ink', cx, cy, r})];
  }).flat();
}

/** How wide each gap is, over the posts; the last says the unit. @param {Drawing} d @param {Plot} at @param {number} y the posts' top @param {number} right @returns {Node_[]} */
export function widths(d, at, y, right) {
  let free = -Infinity;
  return d.gaps.flatMap((g, i) => {
    const x0 = px(at.x(g.at_mm)), x1 = px(at.x(g.at_mm + g.wide_mm)), words = i === d.gaps.length - 1 ? `${num(g.wide_mm, 1)}\u00a0mm` : num(g.wide_mm, 1), w = widthOf(words, LABEL);
    const mid = Math.min(Math.max((x0 + x1) / 2, free + w / 2), right - w / 2), line = el('path', {class: 'dimension', d: `M${x0} ${px(y - 10)}v6M${x1} ${px(y - 10)}v6M${x0} ${px(y - 7)}H${x1}`});
    if (mid - w / 2 < free - 0.1 || mid - w / 2 > x1) return [line];
    free = mid + w / 2 + 4;
    return [line, text(mid, y - 13, words, 'scale-label', 'middle')];
  });
}

/** What is said of a piece to who does not see it. @param {Drawing|null} d */
export const described = (d) => d ? t('piece.desc', {bands: d.bands.length, gaps: d.gaps.map((g) => num(g.wide_mm, 1)).join(', ')}) : t('piece.unknown');
