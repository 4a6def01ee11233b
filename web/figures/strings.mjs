// The five grades as they are drawn between two posts: always ink, so that they show on every material. The same for the
// button and for the piece.

import {el} from '../el.mjs';
import {between} from './words.mjs';
import {px} from './pen.mjs';

/** @typedef {{x0: number, x1: number, y0: number, y1: number}} Box  the open air between two posts */

/** In their order, 0 to 4. */
export const GRADES = Object.freeze(['clean', 'hairs', 'threads', 'strings', 'web']);

/** A strand from post to post: where it leaves and arrives as parts of the height, how far it sags, how thick it is. @typedef {[number, number, number, number]} Line */
/** @type {ReadonlyArray<readonly Line[]>} */
const LINES = [
  [],
  [[0.15, 0.7, 0, 0.6], [0.4, 0.22, 0, 0.6], [0.85, 0.45, 0, 0.6], [0.3, 0.9, 0, 0.6]],
  [[0.3, 0.28, 0.16, 1.4], [0.68, 0.7, 0.14, 1.4]],
  [[0.12, 0.3, 0.1, 1.2], [0.36, 0.2, 0.2, 1.6], [0.5, 0.62, 0.1, 2.1], [0.78, 0.55, 0.12, 1.4], [0.84, 0.88, 0.1, 1.8]],
  [[0.08, 0.6, 0, 1.6], [0.25, 0.9, 0, 2], [0.7, 0.15, 0, 1.8], [0.92, 0.35, 0, 1.6], [0.3, 0.3, 0.08, 1.4], [0.55, 0.55, 0.08, 2], [0.86, 0.84, 0.05, 1.6]],
];
/** Where blobs hang in a web: along, down, radius. */
const BLOBS = /** @type {const} */ ([[0.36, 0.42, 2.6], [0.66, 0.68, 3.2]]);

/** @param {Box} b @param {string|undefined} grade one that is none of the five draws nothing @returns {Node_[]} */
export function strings(b, grade) {
  const n = GRADES.indexOf(grade ?? ''), w = b.x1 - b.x0, h = b.y1 - b.y0;
  if (n < 1 || w <= 0 || h <= 0) return [];
  const lines = n === 1 && w < 30 ? LINES[1].slice(0, 3) : LINES[n], dash = between(w / 6, 3, 9);
  return [...lines.map(([from, to, sag, wide], i) => {
    const ya = b.y0 + from * h, yb = b.y0 + to * h, mid = Math.min(b.y1, (ya + yb) / 2 + sag * h * 2);
    return el('path', {class: 'wave', 'stroke-width': wide, 'stroke-dasharray': n === 1 ? `${px(dash * (1 + i % 2 * 0.4))} ${px(dash * 0.9)}` : null,
      d: `M${px(b.x0)} ${px(ya)}Q${px(b.x0 + w / 2)} ${px(mid)} ${px(b.x1)} ${px(yb)}`});
  }), ...(n === 4 ? BLOBS.map(([x, y, r]) => el('circle', {class: 'ink', cx: px(b.x0 + x * w), cy: px(b.y0 + y * h), r: Math.min(r, w / 5)})) : [])];
}

/** A grade's button: two posts and what hangs between them. @param {string} grade */
export const gradeDrawing = (grade) => el('svg', {class: 'between-posts', viewBox: '0 0 58 44', 'aria-hidden': 'true'},
  [0, 46].map((x) => el('rect', {class: 'm-dot', x: x + 0.5, y: -2, width: 11, height: 48})), strings({x0: 11.5, x1: 46.5, y0: 2, y1: 42}, grade));
