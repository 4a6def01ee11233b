// The checks of one setup: time runs down the strand, the value stands off across, each as a bar with its sleeve between its
// two dashed limits. The running average is a second, lighter line. A check whose whole sleeve is outside is framed.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {tip} from './marks.mjs';
import {numeral} from './numeral.mjs';
import {ground, px, ring, text} from './pen.mjs';
import {between, cut, known, num, widthOf} from './words.mjs';

/** @typedef {{at: number, check?: DriftCheck, index: number, words?: string}} Line one line of the chart: a check, or what parts two stretches */

const FOOT_OF_NUMBER = 92, HEAD = 182, TAIL = 62; // px: the number's line; the first line of the chart; what stands below the last
const ROW = {most: 42, least: 26};
export const WHOLE = 'one beyond the limit with its whole ±';

/** @param {Scene} s @returns {Drift} */
const driftOf = (s) => s.shown.drift ?? {checks: [], splices: [], signals: []};

/** Checks and splices in order of time. @param {Drift} d @param {{before?: string, after?: string}} ends  words of a splice to other setups @returns {Array<Omit<Line, 'at'>>} */
function linesOf(d, ends) {
  const splice = (/** @type {number} */ i) => (d.splices ?? []).filter((x) => x.before === i).map((x) => ({index: -1, words: x.text}));
  return [...(ends.before ? [{index: -1, words: ends.before}] : []), ...(d.checks ?? []).flatMap((check, index) => [...splice(index), {index, check}]), ...splice((d.checks ?? []).length), ...(ends.after ? [{index: -1, words: ends.after}] : [])];
}

/** From a value to x. @param {Frame} f @param {Drift} d @param {number} x0 */
function across(f, d, x0) {
  const c = d.centre, tol = d.tolerance;
  const all = [...(d.checks ?? []).flatMap((k) => [k.value, k.value - (k.u95 || 0), k.value + (k.u95 || 0), k.low, k.high, k.ewma]), c, known(c) && known(tol) ? c - tol : NaN, known(c) && known(tol) ? c + tol : NaN].filter(known);
  const low = Math.min(...all), span = Math.max(...all) - low || 1, x1 = f.right - 6;
  return (/** @type {number} */ v) => x0 + 6 + between((v - low) / span, 0, 1) * (x1 - x0 - 6);
}

/** Framed: outside with its whole sleeve. @param {Drift} d @param {number} index */
export const isFramed = (d, index) => (d.signals ?? []).some((g) => g.chart === 'individuals' && g.rule === WHOLE && index >= g.from && index <= g.to);

/** A check: its bar, and its sleeve with caps. @param {DriftCheck} k @param {number} y @param {(v: number) => number} x @param {number} tall */
function bar(k, y, x, tall) {
  if (!known(k.value)) return [];
  const a = px(x(k.value - (k.u95 || 0))), b = px(x(k.value + (k.u95 || 0))), h = tall / 2 - 2;
  return [el('path', {class: 'sleeve', d: `M${a} ${px(y)}H${b}M${a} ${px(y - h)}V${px(y + h)}M${b} ${px(y - h)}V${px(y + h)}`}), el('rect', {class: 'halo', x: px(x(k.value) - 4), y: px(y - tall / 2), width: 8, height: px(tall)}),
    el('rect', {class: 'ring', x: px(x(k.value) - 2.5), y: px(y - tall / 2), width: 5, height: px(tall)})];
}

/** @param {DriftCheck} k @param {number} y @param {(v: number) => number} x @param {number} tall */
const frame = (k, y, x, tall) => { const a = x(k.value - (k.u95 || 0)) - 6, b = x(k.value + (k.u95 || 0)) + 6; return el('rect', {class: 'frame', x: px(a), y: px(y - tall / 2 - 3), width: px(b - a), height: px(tall + 6)}); };

/** A line through what each check says, broken where a stretch ends. @param {Line[]} lines @param {(k: DriftCheck) => any} of @param {(v: number) => number} x @param {number} pitch @param {string} cls @param {boolean} [stepped] */
function through(lines, of, x, pitch, cls, stepped = false) {
  let d = '', stretch = NaN;
  for (const l of lines) {
    const v = l.check ? of(l.check) : undefined;
    if (!l.check || !known(v)) { stretch = NaN; continue; }
    const go = stretch === (l.check.stretch ?? 0);
    d += stepped ? `${go ? 'L' : 'M'}${px(x(v))} ${px(l.at - pitch / 2)}V${px(l.at + pitch / 2)}` : `${go ? 'L' : 'M'}${px(x(v))} ${px(l.at)}`;
    stretch = l.check.stretch ?? 0;
  }
  return d ? [el('path', {class: cls, d})] : [];
}

/** The centre of the newest stretch, and what the tolerance allows about it. @param {Frame} f @param {Drift} d @param {Line[]} lines @param {(v: number) => number} x @param {number} pitch */
function scale(f, d, lines, x, pitch) {
  const own = lines.filter((l) => l.check && (l.check.stretch ?? 0) === (lines.findLast((k) => k.check)?.check?.stretch ?? 0)), c = d.centre, tol = known(d.tolerance) ? d.tolerance : 0;
  if (!known(c) || !own.length) return [];
  const y0 = own[0].at - pitch / 2, y1 = own[own.length - 1].at + pitch / 2, percent = num(d.tolerance_percent, 1), apart = x(c + tol) - x(c) > widthOf(num(c, 1, true), 15) + 4;
  const words = (/** @type {number} */ v, /** @type {number} */ y, /** @type {string} */ w) => text(between(x(v), f.sx, f.width - 2 - widthOf(w, 15) / 2), y, w, 'scale-label', 'middle');
  const end = (/** @type {number} */ v, /** @type {string} */ w) => [el('path', {class: 'tick-line', d: `M${px(x(v))} ${px(y0 - 6)}V${px(y0 + 4)}M${px(x(v))} ${px(y1 - 4)}V${px(y1 + 6)}`}), ...(y0 <= HEAD ? [words(v, y0 - 12, w)] : []), ...(apart ? [words(v, y1 + 22, num(v, 1, true))] : [])];
  return [el('line', {class: 'level', x1: px(x(c)), x2: px(x(c)), y1: px(y0), y2: px(y1 + 6)}), words(c, y1 + 22, num(c, 1, true)), ...(tol > 0 ? [...end(c - tol, `−\u00a0${percent}\u00a0%`), ...end(c + tol, `+\u00a0${percent}\u00a0%`)] : [])];
}

/** Where a part was changed: the strand is cut and goes on, and a line goes across the whole chart. @param {Frame} f @param {Line} l @param {number} pitch */
const splice = (f, l, pitch) => [el('path', {class: 'halo', d: `M${f.sx - 9} ${px(l.at + 9)}L${f.sx + 9} ${px(l.at - 9)}v7L${f.sx - 9} ${px(l.at + 16)}Z`}), el('line', {class: 'level', x1: f.sx + 14, x2: f.right, y1: px(l.at + 3), y2: px(l.at + 3)}),
  ...(pitch >= 18 ? [text(f.sx + 16, l.at - 3, cut(l.words ?? '', f.right - f.sx - 16, 15), 'scale-label')] : [])];

/** @type {Figure} */
export const drift = {
  place: 'between', strand: 'carries', least: 300, most: 900,
  tall: (s) => HEAD + TAIL + between(560 / Math.max(1, linesOf(driftOf(s), s.shown).length), ROW.least, ROW.most) * Math.max(1, linesOf(driftOf(s), s.shown).length),
  title: () => t('drift.chart'),
  desc: (s) => { const d = driftOf(s), n = (d.checks ?? []).length; return t('drift.desc', {n, centre: num(d.centre, 2), unit: d.unit ?? '', framed: (d.checks ?? []).filter((_, i) => isFramed(d, i)).length}); },
  draw(f, s) {
    const d = driftOf(s), raw = linesOf(d, s.shown), pitch = Math.min(ROW.most, (f.height - HEAD - TAIL) / Math.max(1, raw.length));
    const lines = raw.map((l, i) => ({...l, at: HEAD + pitch * (i + 0.5)})), x0 = f.sx + (f.narrow ? 78 : 82), x = across(f, d, x0), tall = between(pitch - 14, 5, 18), last = (d.checks ?? []).length - 1, n = s.shown.number ?? {};
    const each = Math.max(1, Math.ceil(16 / pitch)), date = (/** @type {Line} */ l) => (lines.length - 1 - lines.indexOf(l)) % each === 0 || l.index === last ? [text(f.sx + 16, l.at + 5, cut(s.shown.dates?.[l.index] ?? '', x0 - f.sx - 14, 15), l.index === last ? 'scale-strong' : 'scale-label')] : [];
    return [...tip(f.sx, Math.max(HEAD, f.height - 12), f.height), ground(f.col, f.width, FOOT_OF_NUMBER), ...numeral(f.col, FOOT_OF_NUMBER, n.value ?? t('none'), n.unit ?? '', {to: f.right, most: 60, hollow: n.hollow, above: n.above, below: n.below, lines: 2}),
      ...scale(f, d, lines, x, pitch), ...through(lines, (k) => k.low, x, pitch, 'limit-line', true), ...through(lines, (k) => k.high, x, pitch, 'limit-line', true), ...through(lines, (k) => k.ewma, x, pitch, 'average'),
      ...lines.flatMap((l) => l.check ? [...ring(f.sx, l.at), ...date(l), ...bar(l.check, l.at, x, tall), ...(isFramed(d, l.index) && known(l.check.value) ? [frame(l.check, l.at, x, tall)] : [])] : splice(f, l, pitch))];
  },
};
