// What the liner allows: the most that the nozzle may be told, on its line; and the three small sections to choose from.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {numeral} from './numeral.mjs';
import {ground, px, section, strand} from './pen.mjs';
import {known, num} from './words.mjs';

const CAP_C = 240; // as the agent holds it while a liner may be in the heat; common practice, no source

/** Number, unit and what it says. @param {Scene} s */
function most(s) {
  const manual = s.printer?.setup?.nozzle_max_c, metal = s.pick === 'all_metal';
  if (metal && !known(manual)) return {number: t('liner.manual'), unit: '', below: t('liner.asked')};
  if (metal) return {number: num(manual, 0), unit: '°C', below: t('liner.ends')};
  return {number: num(CAP_C, 0), unit: '°C', below: t(s.pick === 'fluoropolymer' ? 'liner.reaches' : 'liner.unknown')};
}

/** @type {Figure} */
export const limit = {
  place: 'between', strand: 'ends', least: 124, most: 190,
  title: () => t('liner.title'),
  desc: (s) => { const m = most(s); return t('liner.desc', m); },
  draw(f, s) {
    const m = most(s), y = Math.min(92, f.height - 74);
    return [ground(f.col, f.width, y), ...numeral(f.col, y, m.number, m.unit, {to: f.right, most: y > 84 ? 84 : 52, below: m.below, lines: Math.max(2, Math.min(4, Math.floor((f.height - y - 8) / 22)))})];
  },
};

/** Heated part, strand and liner, small, for a cell. @param {string} value of the choice */
export function sectionOf(value) {
  const x = 28, wall = (/** @type {1|-1} */ s) => section(`M${x + s * 10.5} 1H${x + s * 20}V40L${x + s * 11} 55H${x + s * 4}V47L${x + s * 10.5} 39Z`, true);
  const ends = value === 'all_metal' ? 15 : 38, lining = [-1, 1].map((s) => el('rect', {class: 'ink', x: px(x + s * 8 - 2), y: 1, width: 4, height: ends}));
  const unknown = el('path', {class: 'way', d: `M${x - 8} 1V39M${x + 8} 1V39`});
  return el('svg', {class: 'in-section', viewBox: '0 0 56 56', 'aria-hidden': 'true'}, el('path', {class: 'way', d: 'M0 25H7M49 25H56'}),
    value === 'unknown' ? unknown : [...strand(x, 1, 39, {width: 12}), ...lining], wall(-1), wall(1));
}
