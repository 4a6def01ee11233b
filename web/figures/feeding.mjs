// Feeding: the pointer stands 20 mm above the inlet; strand, ticks and flecks travel down past it. No ring of any kind:
// a target would invite agreement. While the play is taken up, the gear is shown instead,
// the number on its axis, and nothing of it counts.

import {t} from '../texts.mjs';
import {axis, gears, radius} from './gears.mjs';
import {mouth} from './mouth.mjs';
import {flecks} from './marks.mjs';
import {numeral} from './numeral.mjs';
import {SWELL, SWOLLEN, ground, strand, swelling} from './pen.mjs';
import {column, now, passing} from './scale.mjs';
import {between, known, num} from './words.mjs';

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

/**
 * True while the play is taken up: what is fed is not the length that the run was ordered to feed.
 * @param {Scene} s
 */
function isPlay(s) {
  const of = s.run?.doing?.of_mm, ordered = s.run?.inputs?.commanded_mm;
  return known(of) && known(ordered) && of !== ordered;
}

/** @param {Scene} s */
const playDesc = (s) => t('play.desc', {fed: num(s.run?.doing?.fed_mm, 1), of: num(s.run?.doing?.of_mm)});

/** @param {Frame} f @param {Scene} s */
function drawPlay(f, s) {
  const fed = s.run?.doing?.fed_mm ?? 0, inlet = f.height - FOOT;
  const y = Math.round(Math.min(inlet - 60, f.height * 0.56)), r = radius(f, (inlet - SWELL) / 2 - 4);
  const travelled = f.still || !known(fed) ? 0 : between(fed, 0, 99999) * PER_MM;
  const x = axis(f, r) + r + 4;
  return [
    ...swelling(f.sx, 0), ...strand(f.sx, SWELL, f.height - 2, {width: SWOLLEN}), ...flecks(f.sx, SWOLLEN, SWELL + 8, f.height - 2, travelled),
    ...mouth(f, inlet, FOOT - 2), ...gears(f, y, r, travelled),
    ground(x, f.width, y),
    ...numeral(x + 20, y, num(fed, 1, true), 'mm', {to: f.right, below: t('play.of', {of: num(s.run?.doing?.of_mm)})}),
  ];
}
