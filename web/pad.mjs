// Number entry: a readout on its line, one derived sentence, our own ruled pad. Hardware keys do the same as the pad.

import {el} from './el.mjs';
import {plusMinus, typed} from './entry.mjs';
import {has, mm, t} from './texts.mjs';

const KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '.', '0', 'back'];

/** @param {{draft: Draft, label: string, unit: string, gauge?: string, type: (text: string) => void}} o */
export function readout(o) {
  const hollow = ['unlikely', 'impossible', 'refused'].includes(o.draft.verdict);
  const text = o.draft.text;
  return el('div', {class: `readout ${hollow ? 'hollow' : ''}`},
    el('input', {class: 'number', type: 'text', inputmode: 'none', autocomplete: 'off', maxlength: 8, value: text, 'aria-label': o.label,
      'aria-describedby': 'derived', vars: {'--chars': Math.max(0.6, text.length - (text.includes('.') ? 0.55 : 0))},
      on: {input: (/** @type {any} */ e) => o.type(clean(e.target.value))}}),
    el('span', {class: 'unit'}, o.unit), o.gauge && el('span', {class: 'gauge'}, o.gauge));
}

/** What a caliper or a keyboard put in, as if it came key by key. @param {string} raw */
const clean = (raw) => Array.from(raw.trim().replace(',', '.')).reduce(typed, '');

/** @param {Question} q @param {Draft} d @param {Field} field */
export function derived(q, d, field) {
  return el('p', {class: 'derived', id: 'derived', role: 'status', 'aria-live': 'polite'}, sentence(q, d, field));
}

/** @param {Question} q @param {Draft} d @param {Field} field @returns {Kid[]} */
function sentence(q, d, field) {
  const wide = q.derived?.name === 'wide_mm'; // across the filament: no mark to drag, nothing that goes in
  const own = (/** @type {'empty'|'above'|'unlikely'|'went'} */ what) => has(`${wide ? 'wide' : q.figure}.${what}`) ?? /** @type {TextID} */ (`entry.${what}`);
  if (d.verdict === 'empty') return [t(own('empty'), {unit: field.unit ?? ''})];
  if (d.verdict === 'impossible') return [q.derived && q.derived.b < 0 ? t(own('above')) : t('entry.most', {max: mm(field.max ?? 0), unit: field.unit ?? '', why: field.out_of ?? ''})];
  if (d.verdict === 'refused') return [t('entry.least', {min: mm(field.min ?? 0), unit: field.unit ?? '', why: field.out_of ?? ''})];
  if (!q.derived || d.derived === null) return [];
  const value = `${mm(d.derived)}\u00a0±\u00a0${plusMinus(q.derived.u95)}\u00a0${q.derived.unit}`;
  const [before, after] = t(own(d.verdict === 'unlikely' ? 'unlikely' : 'went')).split('|');
  return [before, el('b', null, value), after];
}

/** A finger on a key leaves the focus where it is: Enter then records, and does not press that key once more. @param {Event} e */
const stay = (e) => e.preventDefault();

/** @param {(key: string) => void} press @param {boolean} [whole] no point: a code, a count */
export function pad(press, whole = false) {
  return el('div', {class: 'pad', role: 'group', 'aria-label': t('pad')}, KEYS.map((k) => whole && k === '.' ? el('span', {class: 'no-key'}) : el('button',
    {type: 'button', 'aria-label': k === 'back' ? t('pad.back') : k === '.' ? t('pad.point') : null, on: {mousedown: stay, click: () => press(k)}},
    k === 'back' ? el('svg', {viewBox: '0 0 30 16', 'aria-hidden': 'true'}, el('path', {d: 'M29 8H2M9 1L2 8L9 15'})) : k)));
}
