// Plugs: the mains plug drawn out of its socket, and the serial line that is not yet a printer.

import {el} from '../el.mjs';
import {px, section} from './pen.mjs';

/** Socket in the wall, plug, and its cable that runs off the page. @param {Frame} f */
export function mainsPlug(f) {
  const y = f.height / 2, x = f.col + 4, px0 = x + Math.min(118, (f.right - x) * 0.42);
  const hole = (/** @type {number} */ hy) => el('rect', {class: 'part', x: x + 14, y: px(hy - 6), width: 28, height: 12});
  return [
    ...section(`M${x} ${px(y - 44)}h56v88h-56Z`), hole(y - 18), hole(y + 18),
    el('path', {class: 'prong', d: `M${px(px0 - 26)} ${px(y - 18)}h30M${px(px0 - 26)} ${px(y + 18)}h30`}),
    el('path', {class: 'ink', d: `M${px(px0)} ${px(y - 34)}h34l16 22v24l-16 22h-34Z`}),
    el('path', {class: 'cable', d: `M${px(px0 + 48)} ${px(y)}C${px(px0 + 84)} ${px(y)} ${px(px0 + 76)} ${px(y + 34)} ${f.width} ${px(y + 34)}`}),
  ];
}

/** Two conductors down the margin, their plug before the socket of a machine. @param {Frame} f @param {number} y  foot of the plug */
export function linePlug(f, y) {
  const {sx} = f, top = y + 20, low = Math.max(top + 40, f.height - 14);
  return [
    el('path', {class: 'stroke', d: `M${sx - 7} 0V${px(y - 38)}M${sx + 7} 0V${px(y - 38)}`}),
    el('path', {class: 'ink', d: `M${sx - 15} ${px(y - 40)}h30v26h-8v14h-14v-14h-8Z`}),
    el('path', {class: 'way', d: `M${sx - 7} ${px(y + 6)}V${px(top - 2)}M${sx + 7} ${px(y + 6)}V${px(top - 2)}`}),
    ...section(`M0 ${px(top)}H${sx - 12}v18h24v-18H${f.right}V${px(low)}H0Z`),
  ];
}
