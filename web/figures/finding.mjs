// The finding: number and ± first, then the strand turns and lies down as the rule that the number is read on.

import {t} from '../texts.mjs';
import {tip} from './marks.mjs';
import {told} from './measured.mjs';
import {numeral} from './numeral.mjs';
import {px, strand, text} from './pen.mjs';
import {el} from '../el.mjs';
import {OVER, UNDER, rule} from './rule.mjs';
import {cut, known, num, widthOf} from './words.mjs';

/** @typedef {import('./measured.mjs').Form} Form */

const PLUS = 22;

/** @param {Frame} f @param {Scene} s @param {Form} form */
function draw(f, s, form) {
  const it = told(s, form), y = f.height - UNDER, plus = y - OVER - 12, foot = plus - 25;
  const roomy = f.height >= 244, large = widthOf(it.plus, PLUS) <= f.right - f.col;
  return [
    ...(roomy ? [text(f.col, 22, t('finding.word'), 'fig-text2')] : []),
    ...numeral(f.col, foot, it.number, it.unit, {to: f.right, hollow: it.hollow, most: roomy ? 84 : f.height >= 220 ? 68 : 52}),
    text(f.col, plus, cut(it.plus, f.right - f.col, large ? PLUS : 17), large ? 'plus' : 'fig-text2'),
    ...rule(f, y, it),
  ];
}

/** @param {Form} form @returns {Figure} */
const finding = (form) => ({
  place: 'above', strand: 'turns', least: 196, most: 262,
  title: () => t(`finding.${form}`),
  desc: (s) => { const it = told(s, form); return t('finding.desc', {number: [it.number, it.unit].join(' ').trim(), plus: it.plus,
    rings: it.rings.map((r) => `${r.name} ${num(r.value)}`).join(', ')}); },
  draw: (f, s) => draw(f, s, form),
});

export const change = finding('change'), leave = finding('leave'), cannotTell = finding('cannot_tell');

/** What was seen, if anything could be. @param {Scene} s */
const failedWords = (s) => {
  const fed = s.run?.finding?.values?.find((v) => v.name === 'fed_mm')?.value;
  return known(fed) ? t('failed.fed', {fed: num(fed)}) : t('failed.none');
};

/** What was seen is no matter of a value: the last ring is askew, and the strand ends. @type {Figure} */
export const failed = {
  place: 'above', strand: 'carries', least: 64, most: 96,
  title: () => t('failed.title'),
  desc: (s) => s.run?.finding?.reason || t('failed.title'),
  draw: (f, s) => {
    const y = Math.round(f.height / 2) - 8, {sx} = f;
    return [...strand(sx, 0, y), ...tip(sx, f.height - 30, f.height),
      el('path', {class: 'halo', d: `M${sx - 10} ${px(y + 10)}L${sx + 10} ${px(y + 1)}V${px(y - 9)}L${sx - 10} ${px(y)}Z`}),
      el('path', {class: 'ring', d: `M${sx - 10} ${px(y + 7.5)}L${sx + 10} ${px(y - 1.5)}V${px(y - 6)}L${sx - 10} ${px(y + 3)}Z`}),
      text(f.col, y + 6, cut(s.shown.words ?? failedWords(s), f.right - f.col, 17), 'fig-text2')];
  },
};
