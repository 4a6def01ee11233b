// When the line is away: its plug before a machine that is not yet a printer; the last reading, hollow; the switch's place.

import {t} from '../texts.mjs';
import {numeral, notes} from './numeral.mjs';
import {ground} from './pen.mjs';
import {plan} from './plan.mjs';
import {linePlug} from './plug.mjs';
import {cut, known, num} from './words.mjs';

/** What the line is known by. @param {Scene} s */
const lineName = (s) => String(s.shown.serial ? t('port.line', {serial: s.shown.serial}) : s.shown.device ?? s.shown.name ?? t('port.unnamed'));

/** @type {Figure} */
export const port = {
  place: 'above', strand: 'ends', least: 176, most: 300,
  title: () => t('port.title'),
  desc: (s) => t('port.desc', {line: lineName(s)}),
  draw(f, s) {
    const y = Math.round(f.height - 108);
    return [...linePlug(f, y), ground(f.sx + 24, f.width, y),
      ...notes(f.col, y - 13, cut(lineName(s), f.right - f.col, 21), f.width, 1, 'fig-line')];
  },
};

/** @type {Figure} */
export const interrupted = {
  place: 'between', strand: 'ends', least: 132, most: 170,
  title: () => t('interrupted.title'),
  desc: (s) => known(s.nozzleC) ? t('interrupted.desc', {c: num(s.nozzleC, 0)}) : t('hands.desc2'),
  draw(f, s) {
    const read = known(s.nozzleC), age = s.printer?.nozzle?.age_s, y = Math.round(f.height - 50);
    return numeral(f.col, y, read ? num(s.nozzleC, 0) : t('none'), read ? '°C' : '', {to: f.right, hollow: true, most: f.narrow ? 68 : 84,
      below: read ? t('interrupted.below', {age: known(age) ? ageOf(age) : t('interrupted.unknown')}) : t('hands.unread')});
  },
};

/** @param {number} s seconds */
const ageOf = (s) => s < 100 ? `${num(s, 0)}\u00a0s` : s < 6000 ? `${num(s / 60, 0)}\u00a0min` : `${num(s / 3600, 0)}\u00a0h`;

/** @type {Figure} */
export const mains = {
  place: 'between', strand: 'ends', least: 176, most: 250,
  title: () => t('mains.title'),
  desc: (s) => t('mains.desc', {where: where(s) || t('mains.unknown')}),
  draw: (f, s) => plan(f, where(s), asksWhere(s) ? s.choose : null),
};

/** The setup asks for the place; a page that only says it has none in its numbers. @param {Scene} s */
const asksWhere = (s) => Object.hasOwn(s.shown, 'switch');

/** @param {Scene} s */
const where = (s) => String(s.pick || (s.shown.switch ?? s.printer?.setup?.switch ?? ''));
