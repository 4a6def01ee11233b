// The strokes that all figures share: strand, swelling, ring, scale, dimension, section, number on its line. Pure.
// Colours and weights are classes of style.css (figures part), never attributes, so that light and dark follow the page.

import {el} from '../el.mjs';

/** Bands of a strand of 14 px, left to right: [class, from, to] as parts of its width. Light falls from above left. */
const BANDS = /** @type {const} */ ([
  ['m-left', 1 / 14, 3 / 14], ['m-body', 3 / 14, 4 / 14], ['m-shine', 4 / 14, 6 / 14],
  ['m-body', 6 / 14, 10 / 14], ['m-right', 10 / 14, 13 / 14],
]);

export const THIN = 14;
export const SWOLLEN = 28;
export const SWELL = 30; // px over which it swells

/** A number as an attribute: two decimals are finer than any screen. @param {number} n */
export const px = (n) => Math.round(n * 100) / 100;

/** A place that can be touched, or pressed by key. A finger leaves no focus behind: Enter is the page's again. @param {() => void} press @param {Record<string, any>} props @param {...(import('../el.mjs').Kid|import('../el.mjs').Kid[])} kids */
export const touched = (press, props, ...kids) => el('g', {class: 'pick', role: 'button', tabindex: 0, ...props,
  on: {click: (/** @type {MouseEvent} */ e) => { if (e.detail) /** @type {SVGElement} */ (e.currentTarget).blur(); press(); }, keydown: (/** @type {KeyboardEvent} */ e) => { if (e.key === 'Enter' || e.key === ' ') { e.preventDefault(); press(); } }}}, ...kids);

/**
 * An upright strand, width 14 or 28, from y0 to y1. cut: its lower end is cut at 45 degrees.
 * @param {number} sx @param {number} y0 @param {number} y1 @param {{width?: number, cut?: boolean}} [o] @returns {Node_[]}
 */
export function strand(sx, y0, y1, o = {}) {
  const w = o.width ?? THIN;
  const left = sx - w / 2;
  const foot = (/** @type {number} */ x) => px(o.cut ? y1 + (w / 2) - (x - left) : y1);
  const band = (/** @type {string} */ cls, /** @type {number} */ a, /** @type {number} */ b) =>
    el('path', {class: cls, d: `M${px(left + a * w)} ${px(y0)}V${foot(left + a * w)}L${px(left + b * w)} ${foot(left + b * w)}V${px(y0)}Z`});
  return [band('m-edge', 0, 1), ...BANDS.map(([cls, a, b]) => band(cls, a, b))];
}

/**
 * The strand that swells from 14 to 28 px, from y to y + 30. "Drawn to scale from here."
 * @param {number} sx @param {number} y @returns {Node_[]}
 */
export function swelling(sx, y) {
  const x = (/** @type {number} */ part, /** @type {number} */ w) => px(sx - w / 2 + part * w);
  const band = (/** @type {string} */ cls, /** @type {number} */ a, /** @type {number} */ b) => {
    const mid = px(y + SWELL / 2), end = px(y + SWELL);
    return el('path', {class: cls, d: `M${x(a, THIN)} ${px(y)}C${x(a, THIN)} ${mid} ${x(a, SWOLLEN)} ${mid} ${x(a, SWOLLEN)} ${end}` +
      `H${x(b, SWOLLEN)}C${x(b, SWOLLEN)} ${mid} ${x(b, THIN)} ${mid} ${x(b, THIN)} ${px(y)}Z`});
  };
  return [band('m-edge', 0, 1), ...BANDS.map(([cls, a, b]) => band(cls, a, b))];
}

/**
 * A ring across the strand at y: solid, hollow (do not rely on it) or dashed (not there yet, or no longer).
 * @param {number} sx @param {number} y @param {{width?: number, kind?: 'solid'|'hollow'|'dashed'}} [o] @returns {Node_[]}
 */
export function ring(sx, y, o = {}) {
  const w = (o.width ?? THIN) + 4, left = px(sx - w / 2);
  const halo = el('rect', {class: 'halo', x: left, y: px(y - 3.5), width: w, height: 7});
  switch (o.kind ?? 'solid') {
    case 'hollow': return [el('rect', {class: 'ring-hollow', x: px(left + 1), y: px(y - 3.5), width: w - 2, height: 7})];
    case 'dashed': return [halo, el('line', {class: 'ring-dashed', x1: left, x2: px(left + w), y1: px(y), y2: px(y)})];
  }
  return [halo, el('rect', {class: 'ring', x: left, y: px(y - 2), width: w, height: 4})];
}

/**
 * A scale right of the strand: a tick each `step` px-mapped value, longer ones, labels.
 * @param {number} x @param {(v: number) => number} at value to y @param {{from: number, to: number, tick: number, long: number,
 * label: number, skip?: (v: number) => boolean}} o @returns {Node_[]}
 */
export function scale(x, at, o) {
  /** @type {Node_[]} */
  const out = [];
  for (let v = Math.ceil(o.from / o.tick) * o.tick; v <= o.to + 1e-9; v += o.tick) {
    const y = px(at(v)), isLabel = multiple(v, o.label), isLong = isLabel || multiple(v, o.long);
    out.push(el('line', {class: isLabel ? 'tick-label' : 'tick', x1: x, x2: x + (isLabel ? 14 : isLong ? 9 : 5), y1: y, y2: y}));
    if (isLabel && !o.skip?.(v)) out.push(text(x + 18, y + 5, String(Math.round(v)), 'scale-label'));
  }
  return out;
}

const multiple = (/** @type {number} */ v, /** @type {number} */ of) => Math.abs(v / of - Math.round(v / of)) < 1e-9;

/** Words in a figure. @param {number} x @param {number} y baseline @param {string} words @param {string} [cls] @param {string} [anchor] */
export function text(x, y, words, cls = 'fig-text', anchor = 'start') {
  return el('text', {class: cls, x: px(x), y: px(y), 'text-anchor': anchor}, words);
}

/** An upright dimension line with open arrow heads, from y0 to y1. @param {number} x @param {number} y0 @param {number} y1 */
export function dimension(x, y0, y1) {
  const [a, b] = [Math.min(y0, y1), Math.max(y0, y1)];
  const head = (/** @type {number} */ y, /** @type {number} */ d) => `M${px(x - 4)} ${px(y + d)}L${px(x)} ${px(y)}L${px(x + 4)} ${px(y + d)}`;
  return el('path', {class: 'dimension', d: `M${px(x - 4)} ${px(a)}h8M${px(x - 4)} ${px(b)}h8M${px(x)} ${px(a)}V${px(b)}${head(a, 7)}${head(b, -7)}`});
}

/** A machine part in section: outline and 45-degree hatch. @param {string} d closed path @param {boolean} [small] @returns {Node_[]} */
export function section(d, small = false) {
  return [el('path', {class: 'part', d}), el('path', {class: small ? 'hatch-small' : 'hatch', d})];
}

/** The hatch that section uses: once in each figure's svg; the page puts it there. */
export const hatches = () => el('defs', null, [['hatch', 7], ['hatch-small', 5]].map(([id, gap]) =>
  el('pattern', {id, width: gap, height: gap, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)'},
    el('line', {class: 'hatch-line', x1: 0, x2: 0, y1: 0, y2: gap}))));

/** A hairline from the strand to the page's edge, with 2 px of ink: the line a number stands on. @param {number} x0 @param {number} x1 @param {number} y */
export const ground = (x0, x1, y) => el('line', {class: 'ground', x1: px(x0), x2: px(x1), y1: px(y), y2: px(y)});

/**
 * The large number, standing on its line at y, with its unit; what it is measured against hangs below, up to two lines.
 * @param {number} x @param {number} y @param {string} number @param {string} unit @param {{hollow?: boolean, small?: boolean, above?: string, below?: string[]}} [o] @returns {Node_[]}
 */
export function standing(x, y, number, unit, o = {}) {
  const size = o.small ? 68 : 84;
  const words = el('text', {x: px(x), y: px(y - 9)},
    el('tspan', {class: `big${o.small ? ' big-small' : ''}${o.hollow ? ' hollow' : ''}`}, number),
    el('tspan', {class: 'big-unit', dx: 6}, unit));
  return [
    ...(o.above ? [text(x, y - size + 2, o.above, 'fig-note')] : []),
    words,
    ...(o.below ?? []).map((line, i) => text(x, y + 24 + 22 * i, line, 'fig-note')),
  ];
}

/** The pointer: an ink tab from the page's edge at y. @param {number} y */
export const pointer = (y) => el('path', {class: 'ink', d: `M0 ${px(y - 9)}H14L24 ${px(y)}L14 ${px(y + 9)}H0Z`});

/** Heat at the nozzle: three short wavy lines under y. @param {number} sx @param {number} y @returns {Node_[]} */
export const heat = (sx, y) => [2.8, 2, 1.2].map((w, i) => el('path', {class: 'wave', 'stroke-width': w,
  d: `M${sx - 16} ${px(y + 10 * i)}q4 -5 8 0t8 0t8 0t8 0`}));
