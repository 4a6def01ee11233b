// The wire: two conductors in the margin, filled arrows to the printer, open ones from it, the meaning in words below.

import {el} from '../el.mjs';
import {head, printerOf} from '../page.mjs';
import {count, t} from '../texts.mjs';
import {wind, wireLines} from '../wire.mjs';

/** @typedef {import('../wire.mjs').Turn} Turn */

const SHOWN = 120;

/** @param {Page} p @returns {Sheet} */
export function wire(p) {
  const printer = printerOf(p, p.route[1]);
  return {key: `wire/${printer?.id}`, printer: printer?.id, end: 'none', pointer: false, head: head(p, printer, '', printer?.line.occupied ? 'occupied' : printer?.line.state ?? ''),
    question: t('wire'), long: [legend(), conversation()], foot: [{label: t('back'), go: `#/printers/${printer?.id ?? ''}`}]};
}

/** Beside the column on a wide screen. @param {string} name of the printer */
export const beside = (name) => el('aside', {class: 'side', 'aria-label': t('wire')}, el('h2', null, t('wire.to', {name})), conversation(0));

const legend = () => el('p', {class: 'legend'}, arrow(true), t('wire.out'), arrow(false), t('wire.in'));

/** @param {boolean} out */
const arrow = (out) => el('svg', {class: 'arrow', viewBox: '0 0 26 16', 'aria-hidden': 'true'}, out
  ? [el('line', {class: 'stroke', x1: -16, x2: 16, y1: 8, y2: 8}), el('path', {class: 'ink', d: 'M14 1.500L25 8L14 14.500Z'})]
  : [el('line', {class: 'stroke', x1: 11, x2: 25, y1: 8, y2: 8}), el('path', {class: 'open', d: 'M12 2.500L2 8L12 13.500Z'})]);

/** @param {number} [tabindex] where it scrolls by itself, the keyboard must come there */
function conversation(tabindex) {
  const turns = wind(wireLines()).slice(-SHOWN);
  return el('div', {class: 'wire', role: 'log', 'aria-live': 'off', 'aria-label': t('wire'), tabindex}, el('i', {class: 'conductors', 'aria-hidden': 'true'}),
    turns.length ? el('ol', null, turns.map(turn)) : el('p', {class: 'reason'}, t('wire.quiet')));
}

/** @param {Turn} x */
function turn(x) {
  if ('coil' in x) {
    return el('li', {class: 'turn coil'}, coil(), el('span', {class: 'means'}, x.of === 'program' ? t('wire.taken', {n: count(x.coil)}) : Number.isFinite(x.low) ? t('wire.coil', {n: x.coil, low: x.low, high: x.high}) : t('wire.coil0', {n: x.coil}), el('br', null), `${clock(x.from.at)} to ${clock(x.to.at)}`));
  }
  const {line} = x;
  return el('li', {class: `turn ${line.out ? 'out' : 'in'}`}, arrow(line.out), el('code', null, line.text), el('time', null, clock(line.at, true)), x.means && el('span', {class: 'means'}, x.means));
}

const coil = () => el('svg', {class: 'arrow coil', viewBox: '0 0 22 40', 'aria-hidden': 'true'}, [6, 13, 20, 27, 34].map((y) => el('ellipse', {class: 'stroke', cx: 10, cy: y, rx: 9, ry: 4.5})));

/** @param {string} at @param {boolean} [fine] */
function clock(at, fine = false) {
  const d = new Date(at), two = (/** @type {number} */ n) => String(n).padStart(2, '0');
  return `${two(d.getHours())}:${two(d.getMinutes())}:${two(d.getSeconds())}${fine ? `.${String(d.getMilliseconds()).padStart(3, '0')}` : ''}`;
}
