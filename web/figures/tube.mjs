// The tube: the strand becomes the path, every quarter turn a step of one stair, whatever its direction, numbered inside
// its bend. The number has minus and plus beside it; the slack that follows from it stands below.

import {el} from '../el.mjs';
import {MOST_TURNS, slackMM} from '../fitting.mjs';
import {t} from '../texts.mjs';
import {conduit, coupler, hotEnd} from './conduit.mjs';
import {notes, sizeFor} from './numeral.mjs';
import {px, strand, text, touched} from './pen.mjs';
import {every, stair} from './stair.mjs';
import {between, known, num} from './words.mjs';

const KEY = 52, KEYS_Y = 16, HEAD = 126; // px: a key's side; where keys begin; what stands over the stair
const COUPLER = 28;

/** Turns that are drawn; what is typed may be no number. @param {Scene} s */
const turnsOf = (s) => between(Math.round(known(s.draft.value) ? s.draft.value : 0), 0, MOST_TURNS);

/** @param {Scene} s */
function slackOf(s) {
  const bore = Number(s.shown.bore_mm), filament = Number(s.shown.filament_diameter_mm), each = slackMM(1, bore, filament);
  return known(each) ? {each, all: each * turnsOf(s)} : {each: 0, all: 0};
}

/** @param {Scene} s @param {number} x @param {number} by */
function key(s, x, by) {
  const to = between(turnsOf(s) + by, 0, MOST_TURNS), cx = x + KEY / 2, cy = KEYS_Y + KEY / 2;
  return touched(() => s.type(String(to)), {'aria-label': t(by < 0 ? 'tube.less' : 'tube.more'), 'aria-disabled': to === turnsOf(s) ? 'true' : null},
    el('rect', {class: 'key', x: px(x), y: KEYS_Y, width: KEY, height: KEY}),
    el('path', {class: 'stroke', d: `M${px(cx - 7)} ${cy}h14${by > 0 ? `M${px(cx)} ${cy - 7}v14` : ''}`}));
}

/** The number, its keys, and what follows from it. @param {Frame} f @param {Scene} s */
function count(f, s) {
  const keys = f.right - 2 * KEY, left = f.col + (f.narrow ? 28 : 44), number = num(s.draft.value ?? NaN, 0), slack = slackOf(s);
  const words = slack.all > 0 ? t('tube.slack', {slack: num(slack.all, 1, true), n: turnsOf(s), each: num(slack.each)}) : t('tube.none');
  return [
    text(keys - 18, KEYS_Y + KEY + 4, number, `big s${sizeFor(number, '', keys - 18 - left)}`, 'end'),
    key(s, keys, -1), key(s, keys + KEY, 1), ...notes(left, KEYS_Y + KEY + 28, words, f.right, 2),
  ];
}

/** @type {Figure} */
export const tube = {
  place: 'between', strand: 'carries', least: 240, most: 330,
  title: () => t('tube.title'),
  desc: (s) => t('tube.desc', {n: turnsOf(s), slack: num(slackOf(s).all, 1)}),
  draw(f, s) {
    const way = stair(turnsOf(s), {x: f.sx, y: 16 + COUPLER - 4, top: HEAD + 12, low: f.height - 4, right: f.right}), half = 13 * way.size, step = every(way);
    const numbers = way.corners.flatMap((c, i) => (i + 1) % step ? [] : [text(c.first ? c.x + way.r + 6 : c.x - way.r - 6, c.first ? c.y - way.r - 4 : c.y + way.r + 16, String(i + 1), 'scale-strong', c.first ? 'start' : 'end')]);
    return [
      ...strand(f.sx, 0, 20), ...conduit(way.d, half), ...hotEnd(way.end, way.k, half * 14 / 13),
      ...strand(f.sx, 0, 18 + COUPLER), ...coupler(f.sx, 16, COUPLER, 8, 22), ...numbers, ...count(f, s),
    ];
  },
};
