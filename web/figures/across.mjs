// How wide the filament is: its cut end to scale between the jaws of a caliper, first one way, then a quarter turn on. The
// margin strand is the length that is measured, with a ring for each place; what was read so far stands off to its right.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {cutFace, jaws} from './cutface.mjs';
import {arrow, step, tip} from './marks.mjs';
import {px, ring} from './pen.mjs';
import {between, known, num} from './words.mjs';

const TOP = 14, FOOT = 22;      // px of strand before the first place and after the last
const LEAST_SPAN_MM = 0.05;     // readings closer than this are not drawn further apart
const OPEN = 9;                 // px that the jaws stand off while nothing is typed
const MOST_PLACES = 20;

/** @typedef {{place: number, square: boolean, mm: number}} Read */

/** Readings by place: each place is read one way, then a quarter turn on. @param {any} read_mm @returns {Read[]} */
export const readsOf = (read_mm) => (Array.isArray(read_mm) ? read_mm : []).map((v, i) => ({place: Math.floor(i / 2) + 1, square: i % 2 === 1, mm: v})).filter((r) => known(r.mm));

/** What the question shows, held to what can be drawn. @param {any} shown */
function asked(shown) {
  const whole = (/** @type {any} */ x, /** @type {number} */ most) => known(x) ? Math.round(between(x, 1, most)) : 1;
  const places = whole(shown.places, MOST_PLACES), nominal = known(shown.nominal_mm) && shown.nominal_mm > 0 ? shown.nominal_mm : 1.75;
  return {places, place: whole(shown.place, places), square: shown.square === true, nominal, reads: readsOf(shown.read_mm).filter((r) => r.place <= places)};
}

/** From readings to x, for some px right of x0. @param {Read[]} reads @param {number} x0 @param {number} x1 */
function scaleOf(reads, x0, x1) {
  const all = reads.map((r) => r.mm), low = Math.min(...all), high = Math.max(...all), mid = (low + high) / 2, span = Math.max(high - low, LEAST_SPAN_MM);
  return (/** @type {number} */ v) => (x0 + x1) / 2 + between((v - mid) / span, -0.5, 0.5) * (x1 - x0);
}

/** A reading as an upright bar: solid one way, hollow a quarter turn on. @param {number} x @param {number} y @param {number} tall @param {boolean} hollow */
export const bar = (x, y, tall, hollow) => hollow ? el('rect', {class: 'ring-hollow', x: px(x - 3), y: px(y - tall / 2 + 1), width: 6, height: px(tall - 2)})
  : el('rect', {class: 'ring', x: px(x - 2), y: px(y - tall / 2), width: 4, height: px(tall)});

/** What is drawn where. @param {Frame} f @param {ReturnType<typeof asked>} a */
function lie(f, a) {
  const pitch = (f.height - TOP - FOOT) / a.places, wide = f.narrow ? 22 : 32, chart = f.sx + (f.narrow ? 74 : 104), left = chart + 22;
  const cx = (left + f.width) / 2, cy = Math.round(f.height * 0.46), room = (f.width - left) / 2 - wide - 3, r = Math.min(cy - 12, room / 1.2);
  return {pitch, wide, chart, cx, cy, room, r, at: (/** @type {number} */ place) => TOP + pitch * (place - 0.5)};
}

/** The places along the strand, and what was read at each. @param {Frame} f @param {ReturnType<typeof asked>} a @param {ReturnType<typeof lie>} on */
function sofar(f, a, on) {
  const x = scaleOf(a.reads, f.sx + 26, on.chart), tall = between(on.pitch - 3, 6, 16), count = (/** @type {number} */ n) => a.reads.filter((r) => r.place === n).length;
  const rings = Array.from({length: a.places}, (_, i) => i + 1).flatMap((n) => count(n) === 2 ? ring(f.sx, on.at(n)) : n === a.place || count(n) ? ring(f.sx, on.at(n), {kind: 'dashed'}) : [step(f.sx, on.at(n))]);
  return [...rings, ...a.reads.map((r) => bar(x(r.mm), on.at(r.place), tall, r.square))];
}

/** From the place that is meant to the jaws. @param {Frame} f @param {ReturnType<typeof lie>} on @param {number} place @param {number} x of the left jaw */
const leader = (f, on, place, x) => el('path', {class: 'fine', d: `M${f.sx + 10} ${px(on.at(place))}H${px(on.chart + 8)}L${px(Math.max(on.chart + 10, x - 2))} ${px(on.cy)}`});

/** A quarter turn, over the cut end. @param {ReturnType<typeof lie>} on */
function quarterTurn(on) {
  const r = on.r + 8, at = (/** @type {number} */ deg) => [on.cx + r * Math.cos(deg * Math.PI / 180), on.cy + r * Math.sin(deg * Math.PI / 180)], [x0, y0] = at(-88), [x1, y1] = at(-32);
  return [el('path', {class: 'stroke', d: `M${px(x0)} ${px(y0)}A${px(r)} ${px(r)} 0 0 1 ${px(x1)} ${px(y1)}`}), arrow(x1, y1, 62)];
}

/** @type {Figure} */
export const across = {
  place: 'between', strand: 'carries', least: 78, most: 250,
  title: () => t('across.title'),
  desc: (s) => { const a = asked(s.shown); return [t(a.square ? 'across.desc2' : 'across.desc', {place: a.place, places: a.places}), a.reads.length ? t('across.sofar', {n: a.reads.length, low: num(Math.min(...a.reads.map((r) => r.mm))), high: num(Math.max(...a.reads.map((r) => r.mm)))}) : ''].filter(Boolean).join(' '); },
  draw(f, s) {
    const a = asked(s.shown), on = lie(f, a), typed = s.draft.value, px_ = on.r / a.nominal, other = a.reads.find((r) => r.place === a.place && r.square !== a.square)?.mm;
    const half = (/** @type {number} */ v) => between(v * px_, on.r * 0.3, on.room), rx = typed === null || !known(typed) ? on.r : half(typed), ry = Math.min(other === undefined ? on.r : half(other), on.cy - 6);
    const stand = typed === null || !known(typed) ? OPEN : 0;
    return [...tip(f.sx, f.height - 10, f.height - 10), ...sofar(f, a, on), leader(f, on, a.place, on.cx - rx - stand - on.wide),
      ...cutFace({cx: on.cx, cy: on.cy, rx, ry, turned: a.square, hollow: !['fine', 'empty'].includes(s.draft.verdict)}),
      ...jaws(on.cx - rx - stand, on.cx + rx + stand, on.cy - on.r * 0.5, f.height, on.wide), ...(a.square ? quarterTurn(on) : [])];
  },
};
