// The inlet of the extruder in section: two blocks with a bevelled mouth, either side of the swollen strand.

import {SWOLLEN, px, section} from './pen.mjs';

/** @param {Frame} f @param {number} y its face @param {number} h */
export function mouth(f, y, h) {
  const l = f.sx - SWOLLEN / 2 - 4, r = f.sx + SWOLLEN / 2 + 4, bevel = Math.min(10, l - 1);
  return [
    ...section(`M0 ${px(y)}H${px(l - bevel)}L${px(l)} ${px(y + 12)}V${px(y + h)}H0Z`, true),
    ...section(`M${px(r)} ${px(y + 12)}L${px(r + 10)} ${px(y)}H${px(r + 46)}V${px(y + h)}H${px(r)}Z`, true),
  ];
}
