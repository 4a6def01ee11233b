// Flow up the swollen strand; off each flow a thin strand, as long as what went in of it. Its left end is broken, since the
// scale begins where a loss can be seen. Their ends are joined: the knee.

import {t} from '../texts.mjs';
import {el} from '../el.mjs';
import {SWELL, SWOLLEN, px, ring, scale, strand, swelling, text} from './pen.mjs';
import {between, cut, known, num, widthOf} from './words.mjs';

/** @typedef {{flow: number, fed: number, u95?: number}} Point  mm³/s, % */
/** low and high: the interval of the limit, open where nobody knows its upper end. @typedef {{points: Point[], level: number, tolerance: number, low?: number, high?: number, open?: boolean, limit?: number, work?: number, hollow?: boolean}} Told  points: slowest first */

const ROW = 17, OVER = 34, UNDER = 36, TALL = 10; // px: the nearest that rows may be, what stands over and under them, a strand
const AIR = 0.09; // of the span, beyond the outermost

/** Which flows are drawn, and where: the slower ones are named below where they would leave no room. @param {Told} it @param {number} y0 of the lowest @param {number} y1 of the highest */
function lie(it, y0, y1) {
  const marks = [it.low, it.high, it.limit, it.work].filter(known), all = it.points.map((p) => p.flow);
  const from = (/** @type {number} */ i) => {
    const shown = it.points.slice(i), low = Math.min(shown[0]?.flow ?? Infinity, ...marks), high = Math.max(...all, ...marks), span = Math.max(high - low, high * 0.02, 0.1);
    const a = Math.max(0, low - AIR * span), b = high + AIR * span, at = (/** @type {number} */ v) => y0 - (v - a) / (b - a) * (y0 - y1);
    const near = shown.every((p, k) => k === 0 || at(shown[k - 1].flow) - at(p.flow) >= ROW);
    return {at, low: a, high: b, shown, hidden: it.points.slice(0, i), near, inside: it.points.slice(0, i).every((p) => p.flow < a)};
  };
  const ways = it.points.map((_, i) => from(i)).filter((w) => w.inside);
  return ways.find((w) => w.near) ?? ways.findLast((w) => w.shown.length >= Math.min(3, it.points.length)) ?? from(0);
}

/** Where percents lie: from where a loss can be seen to the level that they fall from, or over it. @param {Told} it @param {number} x0 @param {number} x1 */
function across(it, x0, x1) {
  const tops = it.points.map((p) => p.fed + (known(p.u95) ? p.u95 : 0)), least = Math.min(...it.points.map((p) => p.fed), it.level - it.tolerance), most = Math.max(it.level, ...tops);
  const from = least - Math.max((it.level - least) * 0.45, 1.5);
  return (/** @type {number} */ v) => x0 + between((v - from) / (most - from), 0, 1) * (x1 - x0);
}

/** Bands of a thin lying strand: [class, from, to] px from its upper edge. */
const BANDS = /** @type {const} */ ([['m-edge', 0, 10], ['m-left', 1, 2.5], ['m-body', 2.5, 3], ['m-shine', 3, 4.5], ['m-body', 4.5, 7.5], ['m-right', 7.5, 9]]);

/** One flow: its strand with a broken end, what is missing dashed, the ± below it. @param {Told} it @param {Point} p @param {number} y @param {number} x0 @param {(v: number) => number} at */
function row(it, p, y, x0, at) {
  const x = Math.max(at(p.fed), x0 + 14), level = at(it.level), top = y - TALL / 2, lost = level - x > 8;
  return [
    ...(lost ? [el('rect', {class: 'far', x: px(x), y: px(top), width: px(level - x), height: TALL})] : []),
    ...BANDS.map(([cls, a, b]) => el('rect', {class: cls, x: px(x0), y: px(top + a), width: px(x - x0), height: b - a})),
    el('path', {class: 'halo', d: `M${px(x0 - 1)} ${px(top - 1)}H${px(x0 + 5)}L${px(x0)} ${px(y - 2.5)}L${px(x0 + 5)} ${px(y)}L${px(x0)} ${px(y + 2.5)}L${px(x0 + 5)} ${px(top + TALL + 1)}H${px(x0 - 1)}Z`}),
    ...(known(p.u95) && p.u95 > 0 ? [bar(Math.max(at(p.fed - p.u95), x0 + 6), at(p.fed + p.u95), y)] : []),
    el('rect', {class: 'ring', x: px(x - 1.5), y: px(y - 8), width: 3, height: 16}),
  ];
}

/** The ± as a bar with caps, on film, so that it shows on any material. @param {number} a @param {number} b @param {number} y */
const bar = (a, b, y) => el('g', null, el('line', {class: 'bar-film', x1: px(a - 1), x2: px(b + 1), y1: px(y), y2: px(y)}),
  el('path', {class: 'dimension', d: `M${px(a)} ${px(y)}H${px(b)}M${px(a)} ${px(y - 3.5)}v7M${px(b)} ${px(y - 3.5)}v7`}));

/** The sleeve, upright; open: it has no upper end. @param {number} x @param {number} y0 of the high end @param {number} y1 @param {boolean} open @returns {Node_[]} */
const sleeve = (x, y0, y1, open) => [el('rect', {class: 'pale', x: x - 13, y: px(y0), width: 26, height: px(y1 - y0)}),
  el('path', {class: 'stroke', d: `M${x - 18} ${px(y0)}V${px(y1)}M${x + 18} ${px(y0)}V${px(y1)}M${x - 23} ${px(y1)}H${x + 23}${open ? '' : `M${x - 23} ${px(y0)}H${x + 23}`}`})];

/** Numbers beside the strand, those in ink first; one that would touch another is left to the table. @param {number} x @param {(v: number) => number} at @param {number[]} strong @param {number[]} others */
function labels(x, at, strong, others) {
  const ys = strong.map(at);
  if (ys.length === 2 && Math.abs(ys[0] - ys[1]) < 16) { const mid = (ys[0] + ys[1]) / 2; ys[0] = mid - 8; ys[1] = mid + 8; }
  const kept = others.filter((v, i) => ys.every((y) => Math.abs(y - at(v)) >= 15) && (i === 0 || Math.abs(at(others[i - 1]) - at(v)) >= 15));
  return [...strong.map((v, i) => text(x, ys[i] + 5, num(v, 1, true), 'scale-strong')), ...kept.map((v) => text(x, at(v) + 5, num(v), 'scale-label'))];
}

/** A step of 1, 2 or 5 times a power of ten, at least so large. @param {number} least */
const nice = (least) => { const power = 10 ** Math.floor(Math.log10(least)); return [1, 2, 5, 10].map((n) => n * power).find((s) => s >= least * 0.999) ?? power * 10; };

/** What had no room, named below the scale. @param {Point[]} hidden */
const slower = (hidden) => hidden.length ? t('flow.below', {flows: hidden.map((p) => num(p.flow)).join(', '), fed: hidden.map((p) => num(p.fed, 1)).join(', ')}) : '';

/** The whole chart, from where the strand swells at `top` to the figure's end. @param {Frame} f @param {number} top @param {Told} it @returns {Node_[]} */
export function speeds(f, top, it) {
  const y1 = top + OVER, y0 = f.height - UNDER, way = lie(it, y0, y1), {at} = way, x = f.sx + SWOLLEN / 2 + 3, x0 = x + 56, x1 = f.right - 52, on = across(it, x0, x1), level = on(it.level), line = on(it.level - it.tolerance);
  const strong = [it.limit, it.work].filter(known), low = it.low, high = it.high ?? it.low, sleeved = known(low) && known(high), crossing = known(it.limit) && !it.open ? [el('line', {class: 'dotted', x1: px(x + 18 + widthOf(num(it.limit, 1, true), 15, true) + 4), x2: px(line), y1: px(at(it.limit)), y2: px(at(it.limit))})] : [];
  return [
    ...strand(f.sx, 0, top), ...swelling(f.sx, top), ...strand(f.sx, top + SWELL, f.height, {width: SWOLLEN}),
    ...scale(x, at, {from: way.low, to: way.high, tick: nice((way.high - way.low) / (y0 - y1) * 8), long: NaN, label: NaN}),
    ...way.shown.map((p) => el('line', {class: 'tick-label', x1: x, x2: x + 14, y1: px(at(p.flow)), y2: px(at(p.flow))})), ...labels(x + 18, at, strong, way.shown.map((p) => p.flow)),
    el('line', {class: 'ground', x1: px(level), x2: px(level), y1: px(y1 - 10), y2: px(y0 + 10)}), el('line', {class: 'dotted', x1: px(line), x2: px(line), y1: px(y1 - 10), y2: px(y0 + 14)}), ...crossing,
    ...way.shown.flatMap((p) => row(it, p, at(p.flow), x0, on)), ...(way.shown.length > 1 ? [el('path', {class: 'dimension', d: `M${way.shown.map((p) => `${px(Math.max(on(p.fed), x0 + 14))} ${px(at(p.flow))}`).join('L')}`})] : []),
    ...(sleeved ? sleeve(f.sx, it.open ? y1 - 10 : at(high), at(low), it.open === true) : []), ...strong.flatMap((v) => ring(f.sx, at(v), {width: SWOLLEN, kind: it.hollow ? 'hollow' : 'solid'})),
    ...way.shown.map((p) => text(f.right, at(p.flow) + 5, num(p.fed, 1, true), p.fed < it.level - it.tolerance ? 'scale-strong' : 'scale-label', 'end')),
    text(x, top + 14, t('flow.unit'), 'scale-label'), text(Math.min(level, f.right - 30), top + 14, `${num(it.level, 1)}\u00a0%`, 'scale-label', 'middle'),
    text(x, f.height - 4, cut(slower(way.hidden), line - 26 - x, 15), 'scale-label'), text(line, f.height - 4, num(it.level - it.tolerance, 1), 'scale-label', 'middle'), text(f.right, f.height - 4, t('flow.percent'), 'scale-label', 'end'),
  ];
}
