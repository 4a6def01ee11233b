// The curve so far, small: what went in at each flow that was read, and the flows to come as ticks. It stands where a page
// has room beside its own figure.

import {t} from '../texts.mjs';
import {el} from '../el.mjs';
import {px, text} from './pen.mjs';
import {between, known, num, widthOf} from './words.mjs';

const HIGH = 96, FOOT = 24, HEAD = 20; // px

/**
 * @param {Array<{flow: number, fed?: number, u95?: number}>} blocks @param {{flows: number[], tolerance: number, level: number}} o @param {number} width px
 */
export function small(blocks, o, width) {
  const read = /** @type {Array<{flow: number, fed: number, u95?: number}>} */ (blocks.filter((b) => known(b.flow) && known(b.fed))).sort((a, b) => a.flow - b.flow), all = [...o.flows.filter(known), ...read.map((b) => b.flow)];
  const low = Math.min(...all), high = Math.max(...all), line = o.level - o.tolerance, least = Math.min(line, ...read.map((b) => b.fed)), from = least - Math.max(0.25 * (o.level - least), 0.5), most = Math.max(o.level, ...read.map((b) => b.fed));
  const last = read.at(-1), words = last ? `${num(last.fed, 1, true)}\u00a0%` : '', x0 = 6, x1 = width - widthOf('100.0 %', 15, true) - 8;
  const x = (/** @type {number} */ v) => x0 + (high > low ? (v - low) / (high - low) : 0) * (x1 - x0), y = (/** @type {number} */ v) => HIGH - FOOT - between((v - from) / (most - from), 0, 1) * (HIGH - FOOT - HEAD);
  return el('svg', {class: 'small-curve', role: 'img', width, height: HIGH, viewBox: `0 0 ${width} ${HIGH}`}, el('title', null, t('small.title')), el('desc', null, read.map((b) => t('small.point', {flow: num(b.flow), fed: num(b.fed, 1)})).join(', ') || t('small.none')),
    el('line', {class: 'fine', x1: 0, x2: px(x1 + 6), y1: px(y(o.level)), y2: px(y(o.level))}), el('line', {class: 'dotted', x1: 0, x2: px(x1 + 6), y1: px(y(line)), y2: px(y(line))}),
    all.map((v) => el('line', {class: 'tick', x1: px(x(v)), x2: px(x(v)), y1: HIGH - FOOT + 2, y2: HIGH - FOOT + 8})),
    read.length > 1 && el('path', {class: 'dimension', d: `M${read.map((b) => `${px(x(b.flow))} ${px(y(b.fed))}`).join('L')}`}),
    read.map((b) => el('rect', {class: 'ring', x: px(x(b.flow) - 4.5), y: px(y(b.fed) - 2), width: 9, height: 4})),
    text(0, 14, t('flow.percent'), 'scale-label'), text(0, HIGH - 2, `${num(low)}`, 'scale-label'), text(x1 + 6, HIGH - 2, `${num(high)}\u00a0${t('flow.unit')}`, 'scale-label', 'end'),
    last && text(width, between(y(last.fed) + 5, 14, HIGH - FOOT), words, 'scale-strong', 'end'));
}
