// The printer in plan with the places where its own switch may be: chosen by touch, and named ever after.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {px, section, text, touched} from './pen.mjs';
import {cut} from './words.mjs';

/** Eight places about the printer: its name and where it is, from the back left. */
export const PLACES = Object.freeze([
  {name: 'back, left', x: 0, y: 0}, {name: 'back', x: 1, y: 0}, {name: 'back, right', x: 2, y: 0},
  {name: 'left', x: 0, y: 1}, {name: 'right', x: 2, y: 1},
  {name: 'front, left', x: 0, y: 2}, {name: 'front', x: 1, y: 2}, {name: 'front, right', x: 2, y: 2},
]);

const TOUCH = 48; // px each way
const LABEL = 34; // px over and under the plan

/** The machine seen from above: a hatched square with its nozzle. @param {number} x @param {number} y @param {number} side @returns {Node_[]} */
export const machine = (x, y, side) => [
  ...section(`M${px(x)} ${px(y)}h${px(side)}v${px(side)}h${px(-side)}Z`),
  el('circle', {class: 'part', cx: px(x + side / 2), cy: px(y + side / 2), r: px(side / 11)}),
  el('circle', {class: 'm-dot', cx: px(x + side / 2), cy: px(y + side / 2), r: px(side / 26)}),
];

/** Where the middle of a place lies, on the printer's edge. @param {typeof PLACES[number]} p @param {number} x @param {number} y @param {number} side */
function middle(p, x, y, side) {
  const near = Math.min(side / 6, side / 2 - TOUCH - 2), along = [near, side / 2, side - near]; // a finger's width between any two
  if (p.y === 1) return {cx: x + p.x / 2 * side, cy: y + side / 2, upright: true};
  return {cx: x + (along[p.x] ?? 0), cy: y + p.y / 2 * side, upright: false};
}

/** A switch, or the place for one. @param {ReturnType<typeof middle>} m @param {boolean} here */
function box(m, here) {
  const [w, h] = m.upright ? [18, 38] : [38, 18], x = px(m.cx - w / 2), y = px(m.cy - h / 2);
  if (!here) return [el('rect', {class: 'part', x, y, width: w, height: h})];
  return [el('rect', {class: 'ink', x: x - 1, y: y - 1, width: w + 2, height: h + 2}),
    el('rect', {class: 'halo', x: x + 4, y: y + 4, width: m.upright ? w - 8 : 14, height: m.upright ? 14 : h - 8})];
}

/** @param {Frame} f */
export function lie(f) {
  const side = Math.max(110, Math.min(176, f.height - 2 * LABEL, f.right - f.col - 120));
  return {side, x: px(f.col + (f.right - f.col - side) / 2), y: px(Math.max(LABEL, (f.height - side) / 2))};
}

/**
 * The plan. `chosen` is one of the places, or words of a person's own, which are then written inside.
 * @param {Frame} f @param {string} chosen @param {((place: string) => void)|null} choose  null: it only shows; all places hollow where none is said
 */
export function plan(f, chosen, choose) {
  const {side, x, y} = lie(f), mine = PLACES.find((p) => p.name === chosen);
  /** @param {'back'|'front'|'left'|'right'} word @param {number} tx @param {number} ty @param {string} anchor */
  const label = (word, tx, ty, anchor) => text(tx, ty, t(`plan.${word}`), mine && mine.name.split(', ').includes(word) ? 'scale-strong' : 'scale-label', anchor);
  return [
    ...machine(x, y, side),
    ...PLACES.flatMap((p) => (choose || p === mine || chosen === '') ? place(p, middle(p, x, y, side), p === mine, choose) : []),
    label('back', x + side / 2, y - 17, 'middle'), label('front', x + side / 2, y + side + 28, 'middle'),
    label('left', x - 16, y + side / 2 + 5, 'end'), label('right', x + side + 16, y + side / 2 + 5, 'start'),
    ...(chosen !== '' && !mine ? own(f, chosen, x, y, side) : []),
  ];
}

/** A person's own words for the place, over the plan's middle, on film. @param {Frame} f @param {string} words @param {number} x @param {number} y @param {number} side */
function own(f, words, x, y, side) {
  const line = cut(words, side - 16, 15);
  return [el('rect', {class: 'halo', x: x + 4, y: px(y + side - 40), width: side - 8, height: 28}),
    text(x + side / 2, y + side - 21, line, 'scale-strong', 'middle')];
}

/** @param {typeof PLACES[number]} p @param {ReturnType<typeof middle>} m @param {boolean} here @param {((place: string) => void)|null} choose */
function place(p, m, here, choose) {
  if (!choose) return box(m, here);
  const out = (p.y - 1) * 8, side = m.upright ? (p.x - 1) * 8 : 0;
  return [touched(() => choose(p.name), {'aria-label': t('plan.place', {place: p.name}), 'aria-pressed': here ? 'true' : 'false'},
    el('rect', {class: 'touch', x: px(m.cx - TOUCH / 2 + side), y: px(m.cy - TOUCH / 2 + out), width: TOUCH, height: TOUCH}), box(m, here))];
}
