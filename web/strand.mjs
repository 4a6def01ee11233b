// The margin strand's parts that stand in the page: thread, beads on it, pointer, and the glyphs of line and run states.
// Place alone tells the time order; shape and word tell the state.

import {el} from './el.mjs';

/** @typedef {'ring'|'hollow'|'splice'|'stop'|'failed'|'gap'|'none'} Bead */

/** One thing that happened. @typedef {{bead: Bead, strong?: string, words?: string, right?: string, href?: string, key?: string}} Row */

/** The strand along a block. @param {'through'|'tip'|'ragged'|'none'} end */
export const thread = (end) => el('i', {class: `thread ${{through: '', tip: 'tip', ragged: 'ragged', none: 'no'}[end]}`, 'aria-hidden': 'true'});

/** The fixed pointer: now. */
export const nose = () => el('svg', {class: 'nose', viewBox: '0 0 24 20', 'aria-hidden': 'true'}, el('path', {d: 'M0 1H14L24 10L14 19H0Z'}));

/** @param {Row} r */
export function row(r) {
  return el('li', {class: 'row'}, beadOf(r.bead), r.strong && el('b', null, r.strong), r.words && el('span', {class: 'words'}, r.words),
    r.right && (r.href ? el('a', {class: 'right', href: r.href}, r.right) : el('span', {class: 'right'}, r.right)));
}

/** What lies on the strand beside a row; drawn about the strand's own axis. @param {Bead} kind */
export function beadOf(kind) {
  if (kind === 'none') return null;
  return el('svg', {class: 'bead', 'aria-hidden': 'true'}, el('g', {class: 'on-axis'}, BEADS[kind]()));
}

const tick = () => el('line', {class: 'fine', x1: 9, x2: 30, y1: 8, y2: 8});

/** @type {Record<Exclude<Bead, 'none'>, () => Node_[]>} */
const BEADS = {
  ring: () => [tick(), el('rect', {class: 'halo', x: -9, y: 4.5, width: 18, height: 7}), el('rect', {class: 'ring', x: -9, y: 6, width: 18, height: 4})],
  hollow: () => [tick(), el('rect', {class: 'ring-hollow', x: -8, y: 4, width: 16, height: 8})],
  stop: () => [tick(), el('rect', {class: 'halo', x: -9, y: 2, width: 18, height: 12}), el('rect', {class: 'ring', x: -9, y: 3.5, width: 18, height: 9})],
  failed: () => [tick(), el('path', {class: 'halo', d: 'M-9 8.500L9 1.500V10L-9 17Z'}), el('path', {class: 'ring', d: 'M-9 10L9 3.500V7.500L-9 14Z'})],
  splice: () => [el('path', {class: 'halo', d: 'M-8 13L8 -3V4L-8 20Z'})],
  gap: () => [el('path', {class: 'halo', d: 'M-8 3L-4 6L0 2L4 6L8 3V13L4 10L0 14L-4 10L-8 13Z'})],
};

const plug = (/** @type {number} */ x) => el('rect', {class: 'f', x, y: 5, width: 6, height: 6});
const bar = (/** @type {string} */ d) => el('path', {d});

/** How a line stands: two plugs and what is between them. @type {Record<string, () => Node_[]>} */
const LINES = {
  'unplugged': () => [plug(0), plug(38), bar('M6 8H14M30 8H38')],
  'greeting': () => [plug(0), plug(38), bar('M8 8h4M16 8h4M24 8h4M32 8h4')],
  'listening': () => [plug(0), plug(38), bar('M6 8H38')],
  'occupied': () => [plug(0), plug(38), bar('M6 8H38M22 8V0M17 1H27')],
  'out of step': () => [plug(0), plug(38), bar('M6 5H19M25 11H38')],
  'halted': () => [plug(0), bar('M6 8H20M21 1V15'), el('rect', {x: 31, y: 6, width: 5, height: 5})],
};

/** How a run stands: a strand. @type {Record<string, () => Node_[]>} */
const RUNS = {
  underway: () => [el('path', {class: 'f', d: 'M0 5H10L14 8L10 11H0ZM16 5H22L26 8L22 11H16L19 8ZM28 5H36L42 8L36 11H28L31 8Z'})],
  asking: () => [el('rect', {class: 'f', x: 0, y: 5, width: 24, height: 6}), el('circle', {cx: 34, cy: 8, r: 5.5})],
  finished: () => [el('path', {class: 'f', d: 'M4 5H40L34 11H4Z'})],
  stopped: () => [el('rect', {class: 'f', x: 6, y: 5, width: 26, height: 6}), bar('M36 1V15')],
  interrupted: () => [el('path', {class: 'f', d: 'M2 5H14L17 7L14 8.500L17 11H2ZM26 5L29 7.500L26 9L29 11H42V5Z'})],
  failed: () => [el('path', {class: 'f', d: 'M2 6H18L24 2L28 4L23 11H2ZM30 8H42V13H28Z'})],
  silent: () => [el('path', {class: 'f', d: 'M2 5H14V11H2ZM26 5H32V11H26ZM40 5H42V11H40Z'})],
};

/** @param {string} state of a line or a run */
export function glyph(state) {
  const draw = LINES[state] ?? RUNS[state];
  return draw ? el('svg', {class: 'glyph', viewBox: '0 0 44 16', 'aria-hidden': 'true'}, draw()) : null;
}
