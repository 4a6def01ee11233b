// Who comes first: the maker's manual lies on what this program says.

import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {px, text} from './pen.mjs';

/** An open booklet before a narrow page. @param {Frame} f */
export function manual(f) {
  const h = Math.min(110, f.height - 48), y = (f.height - h - 24) / 2, x = f.col + 2, w = 78;
  const lines = (/** @type {number} */ x0) => Array.from({length: Math.floor((h - 34) / 12)}, (_, i) =>
    el('line', {class: 'bracket', x1: x0, x2: x0 + w - 28, y1: px(y + 22 + 12 * i), y2: px(y + 22 + 12 * i)}));
  const page = (/** @type {1|-1} */ s, /** @type {number} */ spine) => el('path', {class: 'part',
    d: `M${spine} ${px(y + 10)}q${s * 30} -16 ${s * w} -4V${px(y + h - 4)}q${s * -48} -12 ${s * -w} 4Z`});
  const spine = x + w, behind = Math.min(spine + w + 26, f.right - 52);
  return [
    el('path', {class: 'far', d: `M${behind} ${px(y + 14)}h48v${px(h - 26)}h-48Z`}),
    page(-1, spine), page(1, spine), ...lines(x + 14), ...lines(spine + 14),
    text(x, y + h + 24, t('manual.first'), 'fig-small-bold'), text(behind + 48, y + h + 24, t('manual.then'), 'scale-label', 'end'),
  ];
}
