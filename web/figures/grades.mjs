// The piece as it is judged: a band is touched, then a gap in it that differs. What was said hangs between the posts at
// once. A band is 3 mm high and a finger is not: so the height is stretched, and where the screen is too low for all of
// them, the bands about the one that is meant are drawn, and the others stand above and below.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {pointer, px, ring, strand, text, touched} from './pen.mjs';
import {OVER, described, drawingOf, foot, posts, signs, widths} from './piece.mjs';
import {GRADES, strings} from './strings.mjs';
import {between} from './words.mjs';

/** One band as it was said: a grade, other grades by the number of the gap, and the word that stands at the strand. @typedef {{grade?: string, gaps: Array<string|undefined>, word?: string, voids?: boolean}} Said */

const TOUCH = 48, FOOT = 7, UNDER = 12; // px: a finger, the foot, the arrow below it

/** "3" is the fourth band, "3/0" its first gap. @param {string} pick */
export function pickOf(pick) {
  const [band, gap] = pick.split('/');
  return {band: Number(band) || 0, gap: gap === undefined ? -1 : Number(gap)};
}

/** Which bands are in sight, and how they lie. @param {Frame} f @param {Drawing} d @param {number} at the band that is meant @param {boolean} all */
function lie(f, d, at, all) {
  const room = f.height - OVER - FOOT - UNDER, n = all ? d.bands.length : between(Math.floor(room / TOUCH), 1, d.bands.length);
  const first = between(at - Math.floor(n / 2), 0, d.bands.length - n), bands = d.bands.slice(first, first + n);
  const low = bands[0].from_mm, high = bands[n - 1].to_mm, y1 = f.height - UNDER - FOOT;
  const x0 = f.col + (f.narrow ? 10 : 12), x1 = f.right - 4;
  return {first, bands, low, high, y1, x: (/** @type {number} */ mm) => x0 + mm / d.long_mm * (x1 - x0), y: (/** @type {number} */ mm) => y1 - (mm - low) / (high - low) * (y1 - OVER)};
}

/** Where a finger's cells end: on the posts, and a finger's width apart. @param {Frame} f @param {Drawing} d @param {{x: (mm: number) => number}} at */
function edges(f, d, at) {
  const out = [Math.round(f.sx + 8)];
  d.gaps.slice(0, -1).forEach((g, i) => {
    const post = d.posts[i + 1], mid = post ? at.x(post.at_mm + (i === 0 ? post.wide_mm / 8 : post.wide_mm / 2)) : at.x(g.at_mm + g.wide_mm);
    out.push(Math.min(Math.max(mid, out[i] + TOUCH), f.width - TOUCH * (d.gaps.length - 1 - i)));
  });
  return [...out, f.width];
}

/** @param {Scene} s @returns {Said[]} */
const saidOf = (s) => Array.isArray(s.shown.said) ? s.shown.said : [];

/** @param {Said|undefined} b @param {number} gap */
const gradeAt = (b, gap) => b?.gaps[gap] || b?.grade;

/** @param {string|undefined} grade */
const wordOf = (grade) => GRADES.includes(grade ?? '') || grade === 'not_judged' ? t(/** @type {any} */ (`grade.${grade}`)) : t('grade.none');

/** @param {Frame} f @param {Scene} s @param {boolean} judged it is over: no cells, and the values beside the strand @returns {Node_[]} */
function draw(f, s, judged) {
  const d = drawingOf(s.shown.drawing), said = saidOf(s);
  if (!d) return [...strand(f.sx, 0, f.height - UNDER), text(f.col, f.height / 2, t('piece.unknown'), 'fig-text2')];
  const pick = pickOf(s.pick), at = lie(f, d, between(pick.band, 0, d.bands.length - 1), judged), cells = edges(f, d, at), whole = at.first + at.bands.length === d.bands.length;
  const top = (/** @type {number} */ i) => at.y(at.bands[i].to_mm), low = (/** @type {number} */ i) => at.y(at.bands[i].from_mm), mine = judged ? -1 : pick.band - at.first;
  const here = at.bands[mine] ? [el('rect', {class: 'band chosen', x: px(f.col), y: px(top(mine)), width: px(f.width - f.col), height: px(low(mine) - top(mine))})] : [];
  const rules = here.length ? [top(mine), low(mine)].map((y) => el('line', {class: 'ground', x1: px(f.col), x2: f.width, y1: px(y), y2: px(y)})) : [];
  return [
    ...strand(f.sx, 0, at.y1), ...here, ...posts(d, at, at.low, at.high), ...signs(d, at, at.bands, whole),
    ...(at.first === 0 ? foot(d, at, at.y1, at.y1 + FOOT) : []), ...widths(d, at, OVER, f.width - 2),
    ...at.bands.flatMap((_, i) => d.gaps.flatMap((g, k) => strings({x0: at.x(g.at_mm), x1: at.x(g.at_mm + g.wide_mm), y0: top(i) + 4, y1: low(i) - 4}, gradeAt(said[at.first + i], k)))),
    ...rules, ...at.bands.flatMap((b, i) => mark(f, (top(i) + low(i)) / 2, said[at.first + i], b.letter, i === mine)),
    ...(judged ? [] : at.bands.flatMap((b, i) => d.gaps.map((g, k) => cell(s, d, {band: at.first + i, gap: k}, pick, said[at.first + i], {x0: cells[k], x1: cells[k + 1], y0: top(i), y1: low(i)})))),
  ];
}

/** A band on the strand: a ring once it is judged. @param {Frame} f @param {number} y @param {Said|undefined} b @param {string} letter @param {boolean} mine @returns {Node_[]} */
const mark = (f, y, b, letter, mine) => [...ring(f.sx, y, {kind: !b?.grade ? 'dashed' : b.grade === 'not_judged' || b.voids ? 'hollow' : 'solid'}), ...(mine ? [pointer(y)] : []),
  text(f.sx + 14, y + 5, b?.word ?? letter, mine || b?.grade ? 'scale-strong' : 'scale-label')];

/** @param {Scene} s @param {Drawing} d @param {{band: number, gap: number}} me @param {{band: number, gap: number}} pick @param {Said|undefined} b @param {{x0: number, x1: number, y0: number, y1: number}} box */
function cell(s, d, me, pick, b, box) {
  const band = me.band === pick.band, mine = band && me.gap === pick.gap, name = `${me.band}/${me.gap}`;
  const press = () => s.choose(band ? mine ? String(me.band) : name : String(me.band)), g = d.gaps[me.gap];
  const words = t('grade.cell', {band: d.bands[me.band].letter, gap: g.wide_mm, grade: wordOf(gradeAt(b, me.gap))});
  return touched(press, {key: name, tabindex: band && me.gap === Math.max(0, pick.gap) ? 0 : -1, 'aria-label': words, 'aria-pressed': band && (pick.gap < 0 || mine) ? 'true' : 'false'},
  el('rect', {class: 'touch', x: px(box.x0), y: px(box.y0), width: px(box.x1 - box.x0), height: px(box.y1 - box.y0)}),
  mine ? el('rect', {class: 'wall', x: px(box.x0 + 2), y: px(box.y0 + 2), width: px(box.x1 - box.x0 - 5), height: px(box.y1 - box.y0 - 4)}) : null);
}

/** @param {boolean} judged @returns {Figure} */
const figure = (judged) => ({
  place: 'between', strand: 'carries', least: judged ? 250 : OVER + FOOT + UNDER + 3 * TOUCH + 1, most: OVER + FOOT + UNDER + 8 * 60,
  title: () => t(judged ? 'piece.judged' : 'piece.title'),
  desc: (s) => [described(drawingOf(s.shown.drawing)), ...saidOf(s).map((b, i) => b.grade && `${b.word ?? drawingOf(s.shown.drawing)?.bands[i]?.letter ?? ''}: ${wordOf(b.grade)}`).filter(Boolean)].join(' '),
  draw: (f, s) => draw(f, s, judged),
});

export const grades = figure(false), judged = figure(true);
