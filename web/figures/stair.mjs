// The way of a tube as a stair: each quarter turn is one of its corners, down to the right and again down. Pure.

import {HOT} from './conduit.mjs';
import {px} from './pen.mjs';

/** @typedef {import('./conduit.mjs').End} End */
/** @typedef {{x: number, y: number, first: boolean}} Corner  first: from down to the right */
/** @typedef {{d: string, end: End, corners: Corner[], r: number, size: number, k: number}} Stair  r: px of a bend; size of the tube and k of the hot end, 1 is whole */

const TREAD = 120, ROUND = 22; // px: the longest leg across, the widest bend
const SMALL = 0.5; // the least size of the hot end
const ROOM = 40; // px that a step needs for a tube in full size

/**
 * From (x, y) down, through n corners, with a hot end before `right` or `low`. No leg across lies above `top`.
 * @param {number} n @param {{x: number, y: number, top: number, low: number, right: number}} o @returns {Stair}
 */
export function stair(n, o) {
  const across = Math.ceil(n / 2), down = n % 2 === 0, drops = across - 1;
  const last = down ? o.low - HOT * (drops > 1 ? SMALL : 1) - ROUND : o.low - 20, first = drops > 0 ? o.top : Math.max(o.top, (o.top + last) / 2);
  const drop = drops > 0 ? (last - o.top) / drops : ROOM * 2;
  const room = o.right - o.x - (down ? 20 : HOT + ROUND), treads = down ? across : across - 1;
  const tread = treads > 0 ? Math.min(TREAD, room / treads) : TREAD;
  const r = Math.min(ROUND, tread / 2, drop / 2), size = Math.min(1, tread / ROOM, drop / ROOM);
  const corners = Array.from({length: n}, (_, i) => ({x: o.x + Math.ceil(i / 2) * tread, y: first + Math.floor(i / 2) * drop, first: i % 2 === 0}));
  const foot = corners.at(-1), k = Math.max(SMALL, Math.min(size, down && foot ? (o.low - foot.y - r) / HOT : 1));
  const end = down ? {x: foot?.x ?? o.x, y: o.low - HOT * k, down} : {x: o.right - HOT * k, y: foot?.y ?? o.low, down};
  return {k, d: `M${px(o.x)} ${px(o.y)}${corners.map((c) => corner(c, r)).join('')}L${px(end.x)} ${px(end.y)}`, end, corners, r, size};
}

/** @param {Corner} c @param {number} r */
const corner = (c, r) => c.first ? `V${px(c.y - r)}A${px(r)} ${px(r)} 0 0 0 ${px(c.x + r)} ${px(c.y)}` : `H${px(c.x - r)}A${px(r)} ${px(r)} 0 0 1 ${px(c.x)} ${px(c.y + r)}`;

/** Every how many corners a number has room. @param {Stair} s */
export function every(s) {
  const [a, b] = s.corners.filter((c) => c.first), apart = a && b ? Math.min(b.x - a.x, b.y - a.y) / 2 : 99;
  return [1, 2, 5, 10, 20].find((n) => n * apart >= 20) ?? 40;
}
