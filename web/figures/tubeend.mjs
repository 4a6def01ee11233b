// The open end of a tube: unloaded at the gear, undone from the hot end, cut flush, and the piece that came out.

import {el} from '../el.mjs';
import {coupler as collar, hotEnd} from './conduit.mjs';
import {axis, radius, wheel} from './gears.mjs';
import {arrow, dashes, tip} from './marks.mjs';
import {cup} from './nozzle.mjs';
import {notes, numeral} from './numeral.mjs';
import {SWELL, SWOLLEN, THIN, dimension, ground, px, scale, section, strand, swelling} from './pen.mjs';
import {flag, handle, lengthOf} from './reading.mjs';
import {between, known, num} from './words.mjs';
import {mm, t} from '../texts.mjs';

/** The tube in section, down to its face at y. @param {Frame} f @param {number} y @returns {Node_[]} */
const walls = (f, y) => [-1, 1].flatMap((s) => section(`M${f.sx + s * 8} 0H${f.sx + s * 16}V${px(y)}H${f.sx + s * 8}Z`, true));

/** The strand in it. @param {Frame} f @param {number} y @returns {Node_[]} */
const inTube = (f, y) => [...strand(f.sx, 0, y), ...walls(f, y)];

/** A flat cut across what is drawn to scale. @param {number} sx @param {number} y */
const cutAt = (sx, y) => el('line', {class: 'm-cut', x1: sx - SWOLLEN / 2, x2: sx + SWOLLEN / 2, y1: px(y), y2: px(y)});

/** How far the idler stands off the strand, px. @param {Frame} f */
const away = (f) => f.narrow ? 7 : 12;

/** The lever is open: the idler stands off, and the filament goes back up. @type {Figure} */
export const unload = {
  place: 'between', strand: 'carries', least: 190, most: 280,
  title: () => t('unload.title'),
  desc: (s) => t('unload.desc', {pull: num(s.shown.pull_mm)}),
  draw(f, s) {
    const y = Math.round(f.height * 0.52), r = radius(f, Math.min(y - SWELL - 6, f.height - y - 20)), idle = Math.min(34, r), cx = f.sx - SWOLLEN / 2 - idle - away(f), half = Math.sqrt(Math.max(0, idle * idle - cx * cx));
    const x = axis(f, r) + r + 4, up = f.sx + SWOLLEN / 2 + 10;
    return [
      ...swelling(f.sx, 0), ...strand(f.sx, SWELL, y + r + 4, {width: SWOLLEN}), cutAt(f.sx, y + r + 4), ...dashes(f.sx, y + r + 16, f.height),
      half > 0 ? el('path', {class: 'stroke', d: `M0 ${px(y - half)}A${px(idle)} ${px(idle)} 0 0 1 0 ${px(y + half)}`}) : el('path', {class: 'stroke', d: `M0 ${px(y - 12)}V${px(y + 12)}`}),
      ...section(wheel(axis(f, r), y, r, 0), true), el('circle', {class: 'part', cx: px(axis(f, r)), cy: px(y), r: 9}),
      el('path', {class: 'stroke', d: `M${px(up)} ${px(y - r)}V8`}), arrow(up, 8, -90),
      ground(x, f.width, y), ...numeral(x + 20, y, num(s.shown.pull_mm), 'mm', {to: f.right, below: t('unload.below')}),
    ];
  },
};

/** The tube hangs free beside its hot end. @type {Figure} */
export const coupler = {
  place: 'between', strand: 'carries', least: 190, most: 270,
  title: () => t('coupler.title'),
  desc: (s) => known(s.nozzleC) ? t('coupler.desc', {c: num(s.nozzleC, 0)}) : t('hands.desc2'),
  draw(f, s) {
    const end = Math.round(f.height * 0.45), rim = f.height - 46, x = f.col + (f.narrow ? 44 : 52), y = 56, number = known(s.nozzleC) ? num(s.nozzleC, 0) : t('none');
    return [
      ...inTube(f, end), cup(f, rim, 36), ...hotEnd({x, y, down: true}, 1, THIN), ...collar(x, y - 24, 22, 9, 22),
      el('path', {class: 'way', d: `M${px(x - 4)} ${px(y - 28)}C${px(x - 20)} 4 ${px(f.sx + 34)} ${px(end)} ${px(f.sx + 20)} ${px(end)}`}),
      ground(x + 26, f.width, y + 34), ...numeral(x + 40, y + 34, number, known(s.nozzleC) ? '°C' : '', {to: f.right, most: 60, hollow: !known(s.nozzleC) || Boolean(s.printer?.nozzle?.outdated), below: t('coupler.below')}),
    ];
  },
};

/** A blade lies flat on the tube's face. @type {Figure} */
export const cut = {
  place: 'between', strand: 'carries', least: 160, most: 240,
  title: () => t('cut.title'),
  desc: (s) => known(s.shown.cut_mm) ? t('cut.desc', {cut: num(s.shown.cut_mm)}) : t('cut.title'),
  draw(f, s) {
    const y = Math.round(f.height * 0.42), from = f.sx + 9, to = Math.min(f.right - 60, f.col + 130);
    return [
      ...tip(f.sx, f.height - 44, f.height), ...walls(f, y),
      el('path', {class: 'part', d: `M${px(from)} ${px(y + 1)}H${px(to)}V${px(y + 15)}H${px(from + 22)}Z`}),
      ...section(`M${px(to)} ${px(y - 1)}H${px(f.right)}V${px(y + 18)}H${px(to)}Z`, true),
      ...notes(f.col, y + 44, known(s.shown.cut_mm) ? t('cut.below', {cut: num(s.shown.cut_mm)}) : t('cut.below0'), f.right, 2, 'fig-text2'),
    ];
  },
};

const END = 24, GAP = 22; // px: the tube's face, and the air to the piece

/** The piece between two cuts, to scale, its end where what is typed says. @type {Figure} */
export const cutPiece = {
  place: 'beside', strand: 'carries', least: 250, most: 470,
  inset: (f) => f.sx + (f.narrow ? 64 : 78),
  title: () => t('cut_piece.title'),
  desc: (s) => s.draft.value === null ? t('cut_piece.desc') : t('cut_piece.desc2', {long: mm(s.draft.value)}),
  draw(f, s) {
    const longest = lengthOf(s.shown.commanded_mm, 100) * 1.15, top = END + GAP, perMM = (f.height - 14 - top) / longest, at = (/** @type {number} */ v) => top + v * perMM;
    const value = s.draft.value, y = value === null || !known(value) ? null : at(between(value, 0, longest)), end = y ?? f.height;
    return [
      ...inTube(f, END), ...strand(f.sx, top, end, {width: SWOLLEN}), cutAt(f.sx, top),
      ...scale(f.sx + SWOLLEN / 2 + 3, at, {from: 0, to: longest, tick: 5, long: 10, label: 20, skip: (v) => v === 0 || (y !== null && Math.abs(at(v) - y) < 18)}),
      ...(y === null ? [] : [cutAt(f.sx, y), dimension(f.sx - 24, top, y), ...flag(f, y, s.draft.verdict)]),
      handle(f, s, (py) => (py - top) / perMM, longest),
    ];
  },
};
