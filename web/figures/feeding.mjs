// Feeding: the pointer stands 20 mm above the inlet; strand, ticks and flecks travel down past it. No ring of any kind:
// a target would invite agreement. While the play is taken up, the gear is shown instead (prefeed.mjs).

import {t} from '../texts.mjs';
import {mouth} from './mouth.mjs';
import {flecks} from './marks.mjs';
import {numeral} from './numeral.mjs';
import {SWELL, SWOLLEN} from './pen.mjs';
import {drawPlay, isPlay, playDesc} from './prefeed.mjs';
import {column, now, passing} from './scale.mjs';
import {between, known, num} from './words.mjs';

/** @typedef {import('./figure.mjs').Figure} Figure */
/** @typedef {import('./figure.mjs').Scene} Scene */

const PER_MM = 2.75, OVER_INLET_MM = 20, FOOT = 46;

/** @type {Figure} */
export const feeding = {
  place: 'beside', strand: 'carries', least: 236, most: 470,
  inset: column,
  title: (s) => t(isPlay(s) ? 'play.title' : 'feeding.title'),
  desc: (s) => isPlay(s) ? playDesc(s) : t('feeding.desc', {fed: num(s.run?.doing?.fed_mm, 1), of: num(s.run?.doing?.of_mm)}),
  draw(f, s) {
    if (isPlay(s)) return drawPlay(f, s);
    const fed = s.run?.doing?.fed_mm ?? 0, inlet = f.height - FOOT, y = inlet - OVER_INLET_MM * PER_MM;
    const on = passing(f, {now: fed, y, perUnit: PER_MM, foot: f.height - 2, tick: 5, long: 10, label: 20, skip: (v) => on0(v, fed)});
    const travelled = f.still || !known(fed) ? 0 : between(fed, 0, 99999) * PER_MM;
    return [
      ...on.nodes, ...flecks(f.sx, SWOLLEN, SWELL + 8, f.height - 2, travelled), ...mouth(f, inlet, FOOT - 2),
      ...now(f, y),
      ...numeral(column(f), y, num(fed, 1, true), 'mm', {to: f.right, below: t('feeding.of', {of: num(s.run?.doing?.of_mm)}), lines: 1}),
    ];
  },
};

/** Ticks between pointer and inlet have no labels: the number's own words stand there. @param {number} v @param {number} fed */
const on0 = (v, fed) => v < fed;
