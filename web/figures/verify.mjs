// One more pass: what will come, as steps on the dashes; nothing of it is done yet.

import {t} from '../texts.mjs';
import {step, tip} from './marks.mjs';
import {text} from './pen.mjs';
import {cut, num, widthOf} from './words.mjs';

/** @param {Scene} s */
const coming = (s) => [
  [t('verify.mark'), `${num(s.shown.mark_mm)}\u00a0mm`], [t('verify.feed'), `${num(s.shown.commanded_mm)}\u00a0mm`],
  [t('verify.read'), gaugeName(s.shown.gauge)],
];

/** A gauge's name in words. @param {any} gauge */
const gaugeName = (gauge) => gauge === 'caliper' ? t('gauge.caliper') : gauge ? t('gauge.rule') : '';

/** @type {Figure} */
export const verify = {
  place: 'between', strand: 'carries', least: 132, most: 176,
  title: () => t('verify.title'),
  desc: (s) => coming(s).map((c) => c.join(' ')).join(', '),
  draw(f, s) {
    const rows = coming(s), gap = (f.height - 40) / rows.length, at = (/** @type {number} */ i) => 36 + gap * (i + 0.5);
    return [
      ...tip(f.sx, 10, f.height),
      ...rows.flatMap(([what, value], i) => [step(f.sx, at(i)),
        text(f.col, at(i) + 6, cut(what ?? '', f.right - f.col - widthOf(value ?? '', 17) - 12, 17), 'fig-text2'), text(f.right, at(i) + 6, cut(value ?? '', (f.right - f.col) / 2, 17), 'fig-text', 'end')]),
    ];
  },
};
