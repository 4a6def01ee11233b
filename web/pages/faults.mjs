// What a printer that stopped itself says, and what a line that may not be opened needs. The plain sentence is ours; the
// printer's own words stand below it, quoted.

import {el} from '../el.mjs';
import {t, time} from '../texts.mjs';

/** @typedef {import('../types.mjs').Printer} Printer */
/** @typedef {import('../texts.mjs').TextID} TextID */

/** What the words of a fault mean, by what stands in them; common practice, no source. @type {ReadonlyArray<[RegExp, TextID]>} */
const MEANS = [
  [/runaway/i, 'fault.away'], [/heating[\s\w]*failed|did not (follow|heat|rise)/i, 'fault.failed'],
  [/min\s?temp/i, 'fault.low'], [/max\s?temp/i, 'fault.high'], [/bed/i, 'fault.bed'], [/heat|temp|therm/i, 'fault.heat'],
];

/** @param {string} words the printer's own */
export const meansOf = (words) => t(MEANS.find(([sign]) => sign.test(words))?.[1] ?? 'start.halted2');

/** The printer's own words. @param {string} words @param {string} when */
const quote = (words, when) => el('p', {class: 'quote'}, `“${words}”`, el('small', null, t('quote.own', {when})));

/** @param {Printer} pr @param {string} fault */
export function faultOf(pr, fault) {
  const heat = MEANS.some(([sign]) => sign.test(fault));
  return {reason: meansOf(fault), body: [quote(fault, time(Date.parse(pr.line.since))), el('p', {class: 'warn gives'}, t(heat ? 'fault.before' : 'fault.before0'))]};
}

/** What stands to be copied in words of the agent: a command or a rule between its name and a gap of blanks. @param {string} why */
export function toCopy(why) {
  return [...why.matchAll(/(run|\.rules): (.*?)(?=\s{2,}|$)/gs)].map((m) => ({rule: m[1] !== 'run', text: (m[2] ?? '').trim()}));
}

/** The words without what is copied. @param {string} why */
const plain = (why) => (/may not open.*?(?=[;]|$)/s.exec(why)?.[0] ?? why).replace(/^may not open the port: /, '');

/** @param {Printer} pr @returns {Partial<import('../sheet.mjs').Sheet>|null} null where the line is simply not there */
export function unreached(pr) {
  const why = pr.line.why ?? '';
  if (!/may not open|service manager keeps it/.test(why)) return null;
  return {question: t('fault.rights', {name: pr.name}), reason: t('fault.rights2'), end: 'ragged', pointer: false, figure: undefined,
    long: [el('div', {class: 'controls'}, el('p', null, `${plain(why)}.`), copies(why))]};
}

/** Commands and rules, each touched once to be chosen whole. @param {string} why */
export const copies = (why) => toCopy(why).map((c) => el('div', {class: 'copy'}, el('p', null, t(c.rule ? 'copy.rule' : 'copy.run')), el('code', {tabindex: 0}, c.text)));
