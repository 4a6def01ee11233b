// Where the gear sits: two drawings to choose between by touch. Direct: gear and nozzle on one carriage. Bowden: the gear
// apart, and a tube between.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {along, conduit, coupler, hotEnd} from './conduit.mjs';
import {wheel} from './gears.mjs';
import {px, section, text, touched} from './pen.mjs';

/** @typedef {{x: number, y: number, w: number, h: number}} Box */

const STRAND = 8, GEAR = 17, SMALL = 0.62; // px; the hot end's size

/** Gear right of the strand, idler left of it. @param {number} x of the strand @param {number} y */
const grip = (x, y) => [...section(wheel(x + STRAND / 2 + GEAR - 1, y, GEAR, 0, 18), true), el('circle', {class: 'part', cx: px(x + STRAND / 2 + GEAR - 1), cy: px(y), r: 4}),
  el('circle', {class: 'stroke', cx: px(x - STRAND / 2 - 10), cy: px(y), r: 9})];

/** The rail that the carriage runs on, and the carriage. @param {Box} b @param {number} x its middle @param {number} y0 @param {number} y1 @param {number} half @param {number} [from] */
const carriage = (b, x, y0, y1, half, from = b.x + 10) => [el('path', {class: 'way', d: `M${px(from)} ${px(y1 - 14)}H${px(b.x + b.w - 10)}`}),
  el('rect', {class: 'part', x: px(x - half), y: px(y0), width: 2 * half, height: px(y1 - y0)})];

/** @param {Box} b */
function direct(b) {
  const x = b.x + b.w / 2 - 6, low = b.y + b.h - 34, y = b.y + 50;
  return [...carriage(b, x + 6, y - 26, low, 40), ...along(`M${px(x)} ${px(b.y + 8)}V${px(low + 2)}`, STRAND), ...grip(x, y), ...hotEnd({x, y: low, down: true}, SMALL, STRAND)];
}

/** @param {Box} b */
function bowden(b) {
  const l = b.x + 32, r = b.x + b.w - 30, low = b.y + b.h - 34, round = (r - l) / 2, top = b.y + 12 + round, y = low - 8, c = y - GEAR - 16;
  return [...carriage(b, r, low - 28, low, 18, l + 44), ...along(`M${px(l)} ${px(b.y + b.h - 2)}V${px(c)}`, STRAND),
    ...conduit(`M${px(l)} ${px(c + 6)}V${px(top)}A${px(round)} ${px(round)} 0 0 1 ${px(r)} ${px(top)}V${px(low + 1)}`, 7.5),
    ...coupler(l, c, 12, 5, 12), ...grip(l, y), ...hotEnd({x: r, y: low, down: true}, SMALL, STRAND)];
}

/** @param {Scene} s @param {Box} b @param {'direct'|'bowden'} value */
function choice(s, b, value) {
  const mine = s.pick === value, words = t(`fit.drive.${value}`);
  return touched(() => s.choose(value), {'aria-pressed': mine ? 'true' : 'false', 'aria-label': words},
    el('rect', {class: mine ? 'key chosen' : 'key', x: px(b.x), y: px(b.y), width: px(b.w), height: px(b.h)}),
    mine ? el('rect', {class: 'ink', x: px(b.x), y: px(b.y), width: px(b.w), height: 5}) : null,
    (value === 'direct' ? direct : bowden)({...b, y: b.y + 6, h: b.h - 38}),
    text(b.x + b.w / 2, b.y + b.h - 12, words, mine ? 'scale-strong' : 'scale-label', 'middle'));
}

/** @type {Figure} */
export const drive = {
  place: 'between', strand: 'ends', least: 190, most: 260,
  title: () => t('drive.title'),
  desc: () => t('drive.desc'),
  draw(f, s) {
    const w = (f.right - f.col) / 2, y = 2, h = f.height - 4;
    return [choice(s, {x: f.col, y, w, h}, 'direct'), choice(s, {x: f.col + w, y, w, h}, 'bowden')];
  },
};
